import type { MixedChange } from "./curve-mixture.ts";
import { LOWEST_JUMP } from "./curve-model.ts";

/*
 * Nothing jumps in no time. What the samples show as a jump may have taken as long as they cannot tell from
 * an instant; so long about it, the curve is between what it was and what it becomes.
 */

const CLEAR_SQUARES = 4; // two standard deviations
/**
 * A jump J of the k-th derivative that is a ramp of duration d instead moves the curve by J d^k times the
 * root of this, root-mean-square over d: 1/12, 1/320, 1/16128.
 */
const SHARES = [1 / 12, 1 / 320, 1 / 16128] as const;

/** How long a jump may have taken: d with d J² d^2k share = 4 σ², d in spacings. */
export function unresolvedDuration(order: 0 | 1 | 2, jump: number, variance: number): number {
  if (jump === 0) return 0;
  return ((CLEAR_SQUARES * variance) / (SHARES[order] * jump * jump)) ** (1 / (2 * order + 1));
}

/** What a time beside a jump has to allow for. */
export interface Unresolved {
  /** Added variances of value, rate and acceleration. */
  readonly variances: readonly [number, number, number];
  /** The lowest derivative that is not determined: one above the one that jumps; 3 for none. */
  readonly lowest: number;
}

/**
 * Of a ramp that lasts up to d, centred on the jump: at a distance t it differs from the jump by
 * J (d/2 - |t|)^(m+1) / (d (m+1)!) in the derivative m below the one that jumps; its derivatives above are
 * those of the ramp, whatever that is.
 */
export function unresolvedAt(time: number, changes: readonly MixedChange[], variance: number): Unresolved {
  const variances: [number, number, number] = [0, 0, 0];
  let lowest = 3;
  for (const { kind, time: at, jumps, share } of changes) {
    const order = LOWEST_JUMP[kind];
    if (order === 3) continue;
    const found = jumps[order];
    if (found === null) continue;
    // One that is hardly seen is not made out to last for ever.
    const jump = Math.max(Math.abs(found.mean), 2 * Math.sqrt(found.variance));
    const duration = unresolvedDuration(order, jump, variance);
    const left = duration / 2 - Math.abs(time - at);
    if (!(left > 0)) continue;
    lowest = Math.min(order + 1, lowest);
    for (const k of [0, 1, 2] as const) {
      if (k > order) continue;
      const apart = (jump * left ** (order - k + 1)) / (duration * FACTORIALS[order - k + 1]);
      variances[k] += (share * apart * apart) / 3; // any duration up to d
    }
  }
  return { variances, lowest };
}

const FACTORIALS = [1, 1, 2, 6];
