import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

/** How time is kept: by the camera's capture rate, or by each frame's own timestamp. */
export type ClockInput =
  | { readonly kind: "capture-rate"; readonly captureRateHz: Measured }
  | { readonly kind: "timestamps"; readonly rateError: Measured };

/** The map from frame index to seconds, with the relative standard uncertainty of its rate (one error for all frames). */
export interface FrameClock {
  timeOf(frame: number): number;
  readonly relativeU: number;
  readonly how: string;
}

/**
 * Frame index to seconds. "capture-rate": t = k / f, so frame 0 is t = 0 and the file's own timestamps are not used: a
 * conformed file plays at another rate than was filmed. "timestamps": t = (T_k - T_0) (1 + e), with T_k the frame's own time, linear
 * between frames for fractional k. u of times is relative: u(f)/f, or u(e).
 * @param timestampsS [n], s, increasing; null when the clip has not been inspected
 * @returns the clock; "no-timestamps" when the kind needs them and there are none
 * @throws RangeError when the rate is not > 0, and from timeOf on a frame outside the timestamps
 */
export function frameClock(
  input: ClockInput,
  timestampsS: readonly number[] | null,
): Result<FrameClock, "no-timestamps"> {
  if (input.kind === "capture-rate") {
    const { value, u } = input.captureRateHz;
    if (!(value > 0) || !(u >= 0)) throw new RangeError(`frameClock: need a rate > 0; got ${value} ± ${u}`);
    return ok({ timeOf: (frame) => frame / value, relativeU: u / value, how: "capture rate" });
  }
  if (timestampsS === null || timestampsS.length < 2) return refuse("no-timestamps");
  const stamps = timestampsS;
  const first = stamps[0] as number;
  const stretch = 1 + input.rateError.value;
  return ok({
    timeOf(frame) {
      const k = Math.min(Math.floor(frame), stamps.length - 2);
      const [from, to] = [stamps[k], stamps[k + 1]];
      if (!(frame >= 0) || frame > stamps.length - 1 || from === undefined || to === undefined) {
        throw new RangeError(`timeOf: frame ${frame} is outside the clip's ${stamps.length} frames`);
      }
      return (from + (frame - k) * (to - from) - first) * stretch;
    },
    relativeU: input.rateError.u,
    how: "the frames' own timestamps",
  });
}
