import type { Measured } from "../quantity/measured.ts";

/** A stretch of a clip with its own capture rate, to the next one's border or the clip's end. */
export interface ClockPart {
  /**
   * Frames, where it begins: from frame n on, the step from n to n + 1 is the first at its rate; between
   * whole frames, a step is shared in proportion.
   */
  readonly from: Measured;
  readonly captureRateHz: Measured;
}

/** An error of a clock with parts, moved: of a rate in every part that states it, or of a border. */
export type PartMove =
  | { readonly of: "rate"; readonly rate: Measured; readonly longer: number }
  | { readonly of: "border"; readonly at: number; readonly frames: number };

/**
 * Seconds at a frame of a clip with parts, t = ∫ ds / f(s) from frame 0, without any rounding to whole
 * frames. A border that was moved past another one leaves the part between them empty.
 * @param captureRateHz of the part before the first border
 */
export function timeByParts(
  captureRateHz: number,
  parts: readonly { readonly fromFrame: number; readonly captureRateHz: number }[],
): (frame: number) => number {
  let begins = 0;
  const stretches = [{ begins: Number.NEGATIVE_INFINITY, at: 0, timeS: 0, rateHz: captureRateHz }];
  for (const { fromFrame, captureRateHz: rateHz } of parts) {
    const before = stretches[stretches.length - 1];
    begins = Math.max(begins, fromFrame);
    const timeS = before.timeS + (begins - before.at) / before.rateHz;
    stretches.push({ begins, at: begins, timeS, rateHz });
  }
  return (frame) => {
    let k = stretches.length - 1;
    while (stretches[k].begins > frame) k--;
    const { at, timeS, rateHz } = stretches[k];
    return timeS + (frame - at) / rateHz;
  };
}

/** The stated rates of a clip's parts, that before the first border first. */
export function ratesOfParts(captureRateHz: Measured, parts: readonly ClockPart[]): readonly Measured[] {
  return [captureRateHz, ...parts.map((part) => part.captureRateHz)];
}

/** Which part a frame lies in: 0 before the first border. A frame on a border begins the part after it. */
export function partAt(frame: number, parts: readonly Pick<ClockPart, "from">[]): number {
  return parts.reduce((at, { from }, k) => (frame >= from.value ? k + 1 : at), 0);
}

/** Whether two parts state one and the same rate, whose error they then share. */
export function isSameRate(a: Measured, b: Measured): boolean {
  return a.value === b.value && a.u === b.u;
}
