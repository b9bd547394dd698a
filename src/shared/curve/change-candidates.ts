import { type ChangeKind, type CurveModel, LOWEST_JUMP } from "./curve-model.ts";
import type { Pass } from "./smooth-both-ways.ts";

/** Where a change point may lie, and how much likelier (2 log) one there would make the samples at best. */
export interface Candidate {
  readonly time: number;
  readonly gain: number;
}

const CLEAR_DRIFT = 1.2; // of a Brownian bridge's greatest value; its mean is 0.87

/**
 * Where the record pulls at the curve: the samples at which a jump of value, rate or acceleration would help
 * most, and where the wandering seen parts from the one expected. Smoothness and everything else stay as they
 * are, so the gains are those of a first look.
 * @param variance of the errors
 */
export function changeCandidates(
  times: Float64Array,
  model: CurveModel,
  { steps, smoothed, filtered }: Pass,
  variance: number,
): readonly Candidate[] {
  const found: Candidate[] = [];
  const { pulls, pullSizes } = smoothed;
  const first = filtered.start?.steps ?? 0;
  for (let step = first; step < steps.count - 2; step++) {
    const sample = steps.samples[step];
    if (sample < 1 || steps.samples[step - 1] < 0) continue;
    const pull = pulls.subarray(3 * step, 3 * step + 3);
    const size = pullSizes.subarray(6 * step, 6 * step + 6);
    let gain = 0;
    for (const kind of JUMPING) {
      gain = Math.max(gain, gainOf(LOWEST_JUMP[kind], pull, size, model.jumps, variance));
    }
    found.push({ time: (times[sample - 1] + times[sample]) / 2, gain });
  }
  const drifts = driftCandidates(times, steps, smoothed, variance, first);
  return [...found, ...drifts].sort((a, b) => b.gain - a.gain);
}

const JUMPING: readonly ChangeKind[] = ["acceleration", "rate", "value"];

/** r'(N + 1/V)⁻¹r/σ² - log det(1 + V N) over the derivatives that jump, worked one after the other. */
function gainOf(
  lowest: number,
  r: Float64Array,
  n: Float64Array,
  jumps: readonly [number, number, number],
  variance: number,
): number {
  // Jumps in turn, highest derivative first: each leaves r and N of the others less what it explains.
  let gain = 0;
  const pull = [r[0], r[1], r[2]];
  const size = [
    [n[0], n[1], n[2]],
    [n[1], n[3], n[4]],
    [n[2], n[4], n[5]],
  ];
  for (let k = 2; k >= lowest; k--) {
    const total = size[k][k] + 1 / jumps[k];
    gain += (pull[k] * pull[k]) / (total * variance) - Math.log(total * jumps[k]);
    for (let i = 0; i < k; i++) {
      const share = size[i][k] / total;
      pull[i] -= share * pull[k];
      for (let j = 0; j < k; j++) size[i][j] -= share * size[k][j];
    }
  }
  return gain;
}

/** In each stretch of one smoothness: where the wandering so far parts most from its share of the whole. */
function driftCandidates(
  times: Float64Array,
  steps: Pass["steps"],
  { wandering, wanderingSizes }: Pass["smoothed"],
  variance: number,
  first: number,
): readonly Candidate[] {
  const found: Candidate[] = [];
  const bounds = [first, ...steps.changeSteps.filter((step) => step > first), steps.count];
  for (let k = 0; k + 1 < bounds.length; k++) {
    const [from, to] = [bounds[k], bounds[k + 1]];
    let [seen, expected] = [0, 0];
    for (let step = from; step < to; step++) {
      seen += wandering[step] / variance;
      expected += wanderingSizes[step];
    }
    if (!(expected > 1)) continue;
    let [sum, share, best, bestAt] = [0, 0, 0, -1];
    for (let step = from; step < to - 1; step++) {
      sum += wandering[step] / variance;
      share += wanderingSizes[step] / expected;
      const apart = Math.abs(sum - share * seen);
      if (apart > best && steps.samples[step] >= 0 && steps.samples[step + 1] >= 0)
        [best, bestAt] = [apart, step];
    }
    const drift = best / Math.sqrt(2 * expected);
    if (bestAt < 0 || drift < CLEAR_DRIFT) continue;
    const sample = steps.samples[bestAt];
    found.push({ time: (times[sample] + times[sample + 1]) / 2, gain: 4 * drift * drift });
  }
  return found;
}
