import type { ReadoutEstimate } from "../../../shared/clock/estimate-readout.ts";
import type { readoutFromSweeps } from "../../../shared/measure/readout-from-sweeps.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { Refusal } from "../../../shared/quantity/result.ts";

/** What clicked sweeps say of the readout, in words, and the value to be kept. */
export interface ReadoutFound {
  readonly text: string;
  readonly readoutS: Measured | null;
}

const FAR = 2; // times the clicks' own scatter about straight lines: then something else bends the edge

/**
 * Words an estimate or what it still needs.
 * @param turned the clip is turned by a quarter, so that level edges count
 */
export function readoutSays(found: ReturnType<typeof readoutFromSweeps>, turned: boolean): ReadoutFound {
  if (!found.ok) return { text: refusalSays(found), readoutS: null };
  const { readoutS, leanRad, straightness } = found.value;
  return { text: `${takesSays(readoutS)} ${leansSays(leanRad, turned)}${doubtSays(straightness)}`, readoutS };
}

function takesSays({ value, u }: Measured): string {
  const ms = showMeasured({ value: Math.abs(value) * 1000, u: u * 1000 }, "1").text.trim();
  const from = value < 0 ? "from bottom to top" : "from top to bottom";
  return `The rows take ${ms} ms to read, ${from}.`;
}

function leansSays(lean: ReadoutEstimate["leanRad"], turned: boolean): string {
  return `At rest the edge ${turned ? "tilts" : "leans"} by ${showMeasured(lean, "rad").text}.`;
}

function doubtSays(straightness: number): string {
  if (straightness <= FAR) return "";
  return ` The clicks lie ${straightness.toFixed(1)} times as far from straight lines as clicks should: see whether the edge is straight, and each click on it.`;
}

function refusalSays({ code, numbers }: Refusal<"too-few-frames" | "too-few-points" | "too-slow">): string {
  const sweep = (numbers.sweep ?? 0) + 1;
  switch (code) {
    case "too-few-frames":
      return `Sweep ${sweep} is clicked in ${numbers.frames === 1 ? "one frame" : "no frame"}: it needs two or more, since its speed comes from them.`;
    case "too-few-points":
      return `Click three points or more, at different heights, in every frame of sweep ${sweep}.`;
    case "too-slow":
      return `The edge moves at ${rounded(numbers.speedPxPerS)} px/s, too slowly to tell its lean from the shutter's. Add a sweep the other way, or turn the camera faster: ${rounded(numbers.neededPxPerS)} px/s would do.`;
  }
}

function rounded(x: number | undefined): string {
  return String(Number((x ?? 0).toPrecision(2)));
}
