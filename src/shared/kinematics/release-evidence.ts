import type { Measured } from "../quantity/measured.ts";
import { combined, type MotionPosterior } from "./motion-posterior.ts";

/**
 * What tells when release was, beside the motion itself: nothing; an instant that a person saw; or the travel
 * along a launcher of known length at which the airframe leaves it. With standard uncertainty.
 */
export type ReleaseInput =
  | { readonly by: "change-point" }
  | { readonly by: "person"; readonly timeS: number; readonly u: number }
  | { readonly by: "travel"; readonly travelM: number; readonly u: number };

// Degrees of freedom of Student's distribution: a statement that is off by many of its u happens, and then
// the motion is to be believed. Common practice, no source.
const FREEDOM = 4;

/** -2 log of how well the evidence agrees with release and travel of a fitted motion, up to a constant. */
export function evidenceScore(release: ReleaseInput, posterior: MotionPosterior): number {
  switch (release.by) {
    case "change-point":
      return 0;
    case "person":
      return misfit((posterior.basis.releaseS - release.timeS) / release.u);
    case "travel": {
      const { value, u } = travelOf(posterior);
      return misfit((value - release.travelM) / Math.hypot(u, release.u));
    }
  }
}

function misfit(z: number): number {
  return (FREEDOM + 1) * Math.log1p((z * z) / FREEDOM);
}

/** m, from rest to release, with the uncertainty that the marks leave at this release. */
function travelOf(posterior: MotionPosterior): Measured {
  const { basis, mean } = posterior;
  const from = basis.row(basis.startS, 0);
  const weights = new Float64Array(mean.length);
  basis.row(basis.releaseS, 0).forEach((x, i) => {
    weights[i] = x - from[i];
  });
  return combined(posterior, weights);
}
