/**
 * Relative standard uncertainties of a result's clock and scale, taken apart so that they are
 * independent of each other.
 */
export interface ScaleAndClock {
  /** What the scale leaves, after its part in the capture rate has cancelled some of it. */
  readonly scale: number;
  /** What the capture rate leaves besides the scale. */
  readonly clock: number;
  readonly total: number;
}

/**
 * Uncertainty of a motion result whose capture rate rests on a drop measured with the same scale. The drop
 * gives f ∝ s^(-1/2) (s in m/px), so with weight w of the drop in the rate, f ∝ s^(-w/2), and a result of
 * order n in time, (px/frameⁿ) s fⁿ, goes with s^(1 - n w/2): a speed (n = 1) by the drop alone with
 * s^(1/2), an acceleration (n = 2) not with s at all. So such a drop checks the product of scale and rate
 * rather than the rate by itself.
 * Source: JCGM 100:2008, 5.2 (correlated inputs).
 * @param order 1 for speeds, 2 for accelerations
 * @param rateRelativeU u(f)/f of the rate in use, the scale's part included
 * @param scaleRelativeU u(s)/s
 * @param dropWeight weight of the drop in the rate: 1 when it is the only source, 0 when it is not used
 *   or had a scale of its own
 * @throws RangeError when the rate's u is less than the scale's part in it, or an input is out of range
 */
export function sameScale(
  order: 1 | 2,
  rateRelativeU: number,
  scaleRelativeU: number,
  dropWeight: number,
): ScaleAndClock {
  const shared = (dropWeight * scaleRelativeU) / 2;
  if (!(scaleRelativeU >= 0 && dropWeight >= 0 && dropWeight <= 1 && rateRelativeU >= shared * (1 - 1e-9))) {
    throw new RangeError(
      `sameScale: u(f)/f ${rateRelativeU} cannot hold ${dropWeight}/2 of u(s)/s ${scaleRelativeU}`,
    );
  }
  const scale = Math.abs(1 - (order * dropWeight) / 2) * scaleRelativeU;
  const clock = order * Math.sqrt(Math.max(0, rateRelativeU ** 2 - shared ** 2));
  return { scale, clock, total: Math.hypot(scale, clock) };
}

/**
 * Relative standard uncertainty of a release speed by a drop with the launch's own scale.
 * @param marksRelativeU of px per frame
 */
export function sameScaleSpeed(
  rateRelativeU: number,
  scaleRelativeU: number,
  dropWeight: number,
  marksRelativeU: number,
): number {
  return Math.hypot(sameScale(1, rateRelativeU, scaleRelativeU, dropWeight).total, marksRelativeU);
}
