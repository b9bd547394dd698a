import type { PxPoint } from "../../../shared/quantity/point.ts";
import { lensFromLines } from "../../../shared/scale/lens-from-lines.ts";
import type { LensProfile } from "../../../shared/scale/lens-model.ts";
import type { LensData } from "../../../shared/session/schema.ts";

/** What lines known to be straight say of the lens, in words, and the profile that goes with it. */
export interface LensFound {
  readonly text: string;
  readonly lens: LensData | null;
}

const ENOUGH_FOR_TWO = 15; // points beyond two a line: then the second radial term is told from noise
export const FAR_IN_U = 4; // one point in 16 000 of normal errors

/**
 * Finds the lens from lines drawn along straight edges; lines with fewer than three points are left out.
 * @param uPx standard uncertainty of each coordinate of a clicked point
 */
export function lensFound(
  drawn: readonly (readonly PxPoint[])[],
  picturePx: readonly [number, number],
  uPx: number,
): LensFound {
  const kept = drawn.map((points, at) => ({ points, at })).filter(({ points }) => points.length >= 3);
  const spare = kept.reduce((sum, { points }) => sum + points.length - 2, 0);
  const found = lensFromLines({
    lines: kept.map(({ points }) => ({ points, uPx })),
    picturePx,
    focalPx: picturePx[0],
    find: spare >= ENOUGH_FOR_TWO ? ["k1", "k2"] : ["k1"],
  });
  if (!found.ok) return { text: REFUSALS[found.code], lens: null };
  const { beforePx, afterPx, worst, profile } = found.value;
  const line = (kept[worst.line]?.at ?? 0) + 1;
  const far =
    worst.deviation > FAR_IN_U
      ? ` Point ${worst.point + 1} of line ${line} is ${worst.deviation.toFixed(1)} u off: look at it again.`
      : "";
  return {
    text: `The points lie ${beforePx.toFixed(2)} px from straight lines as seen, ${afterPx.toFixed(2)} px with the lens taken out (root mean square).${far}`,
    lens: dataOf(profile),
  };
}

const REFUSALS = {
  "too-few-points": "More points are needed: three or more along each line, and several lines.",
  "lines-through-centre":
    "All the lines pass too near the middle of the picture, where no lens bends them. Draw some near its edges.",
  "poorly-placed-lines":
    "The lines do not determine the lens. Draw them in different directions and parts of the picture.",
  "not-converged": "The points fit no lens. Check that every line follows one straight edge.",
  "folds-inside-picture":
    "The lens found would fold the picture over itself. Draw lines that reach its corners.",
} as const;

/** A profile as the document holds it. */
export function dataOf({ centrePx, picturePx, covariance, madeFrom, ...terms }: LensProfile): LensData {
  return {
    ...terms,
    centrePx: [...centrePx],
    picturePx: [...picturePx],
    covariance: [...covariance],
    madeFrom: { ...madeFrom },
  };
}

/** What a profile was made from: "from 140 points, which it leaves 0.21 px from straight lines". */
export function madeSays({ madeFrom: { by, leftPx, points } }: LensData): string {
  const left = `${leftPx.toFixed(2)} px`;
  if (by === "lines") return `from ${points} points, which it leaves ${left} from straight lines`;
  if (by === "board") return `from ${points} crossings of a board, which it leaves ${left} off`;
  return "as it was typed in";
}
