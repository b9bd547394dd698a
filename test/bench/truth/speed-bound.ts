import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../../../src/shared/numeric/cholesky.ts";
import type { SimulatedShot } from "./simulate.ts";

// rms misfit of the cubic over the noise of one frame: below this no estimator can tell it from the truth
const MATCHED = 0.25;
const CONSTANT_AIR_S = 0.1;
const FLIGHT_SD = 10; // m/s², what the fit too may assume of the air's force after release

/**
 * Cramér-Rao bound of the release speed in the matching parametric problem with unknown release time: before
 * release a cubic in time over the longest stretch that a cubic matches, after it known gravity and one
 * constant force of the air, all frames' noise white. x = x_r + v_r u + [u < 0] (a u²/2 + j u³/6) + [u >= 0]
 * a_f u²/2, u = t - t_r; d/dt_r by the jump of acceleration. The noise of a frame is that of the mean of its
 * points, as if the pitch were known: no estimator that must also find the pitch has it better. Source of the
 * bound: S. M. Kay, Fundamentals of Statistical Signal Processing: Estimation Theory (1993), 3.
 */
export function releaseSpeedBound(shot: SimulatedShot): number {
  const sd = shot.noiseM / Math.sqrt(shot.points);
  const push = shot.track.filter(({ timeS }) => timeS >= shot.startS && timeS < shot.truth.releaseS);
  if (push.length < 4) return Number.NaN; // no push that a cubic could match
  let kept = push.slice(-4);
  for (let count = 5; count <= push.length; count++) {
    const window = push.slice(-count);
    if (cubicMisfit(window, shot.truth.releaseS) > MATCHED * sd) break;
    kept = window;
  }
  // The air's force is one constant over as much of the flight as it can be taken for one.
  const flight = shot.track.filter(
    ({ timeS }) => timeS >= shot.truth.releaseS && timeS < shot.truth.releaseS + CONSTANT_AIR_S,
  );
  const slopes = cubic(kept, shot.truth.releaseS);
  const rows = [...kept, ...flight].map(({ timeS }) => {
    const u = timeS - shot.truth.releaseS;
    // parameters: x_r, v_r, a, j, a_f, t_r
    const before = u < 0;
    const speed = slopes[1] + (before ? slopes[2] * u + (slopes[3] * u * u) / 2 : 0);
    return [1, u, before ? (u * u) / 2 : 0, before ? u ** 3 / 6 : 0, before ? 0 : (u * u) / 2, -speed];
  });
  const n = 6;
  const information = new Float64Array(n * n);
  for (const row of rows) {
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) information[i * n + j]! += (row[i]! * row[j]!) / sd ** 2;
  }
  information[4 * n + 4]! += 1 / FLIGHT_SD ** 2;
  if (choleskyInPlace(information, n) === null) return Number.POSITIVE_INFINITY;
  const unit = new Float64Array(n);
  unit[1] = 1;
  return Math.sqrt(backSubstitute(information, n, forwardSubstitute(information, n, unit))[1] as number);
}

function cubicMisfit(window: readonly { timeS: number; s: number }[], releaseS: number): number {
  const [c0, c1, c2, c3] = cubic(window, releaseS);
  const squares = window.map(({ timeS, s }) => {
    const u = timeS - releaseS;
    return (s - (c0 + c1 * u + (c2 * u * u) / 2 + (c3 * u ** 3) / 6)) ** 2;
  });
  return Math.sqrt(squares.reduce((sum, x) => sum + x, 0) / window.length);
}

/**
 * Least-squares x_r, v, a, j of a cubic about release, in scaled time so that the
 * equations are well conditioned.
 */
function cubic(
  window: readonly { timeS: number; s: number }[],
  releaseS: number,
): readonly [number, number, number, number] {
  const span = releaseS - (window[0] as { timeS: number }).timeS;
  const gram = new Float64Array(16);
  const moment = new Float64Array(4);
  for (const { timeS, s } of window) {
    const z = (timeS - releaseS) / span;
    const row = [1, z, (z * z) / 2, z ** 3 / 6];
    for (let i = 0; i < 4; i++) {
      moment[i]! += row[i]! * s;
      for (let j = 0; j < 4; j++) gram[i * 4 + j]! += row[i]! * row[j]!;
    }
  }
  choleskyInPlace(gram, 4);
  const c = backSubstitute(gram, 4, forwardSubstitute(gram, 4, moment));
  return [c[0]!, c[1]! / span, c[2]! / span ** 2, c[3]! / span ** 3];
}
