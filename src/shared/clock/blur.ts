// px; beyond it a hand finds the middle of the streak, not the point. Common practice, no source.
const LIMIT_PX = 3;
const LIMIT_OF_MARK = 0.5; // of the target's own size: then its sharp middle is gone

/**
 * px, how far a point moves in the picture during one exposure: b = v t_exp / s, with s the scale in m/px.
 */
export function blurLengthPx(speedMPerS: number, exposureS: number, scaleMPerPx: number): number {
  if (
    !(speedMPerS >= 0) ||
    !(exposureS >= 0) ||
    !(scaleMPerPx > 0) ||
    !Number.isFinite(speedMPerS * exposureS)
  ) {
    throw new RangeError(
      `blurLengthPx: need speed and exposure >= 0, scale > 0; got ${speedMPerS}, ${exposureS}, ${scaleMPerPx}`,
    );
  }
  return (speedMPerS * exposureS) / scaleMPerPx;
}

export interface BlurVerdict {
  readonly blurred: boolean;
  readonly blurPx: number;
  /** px, the length beyond which it counts as blurred: 3 px, or half the marked target if that is less. */
  readonly limitPx: number;
  /** s, the longest exposure that would keep this speed within the limit; infinite for no motion. */
  readonly exposureThatWouldDoS: number;
}

/**
 * Judges the blur of a mark. Blur does not bias a speed: the middle of the streak shows
 * the middle of the exposure.
 * @param markSizePx across the target that is marked; null when unknown
 * @throws RangeError as blurLengthPx, or when the size is not > 0
 */
export function judgeBlur(
  speedMPerS: number,
  exposureS: number,
  scaleMPerPx: number,
  markSizePx: number | null = null,
): BlurVerdict {
  if (markSizePx !== null && !(markSizePx > 0))
    throw new RangeError(`judgeBlur: mark size ${markSizePx} px is none`);
  const blurPx = blurLengthPx(speedMPerS, exposureS, scaleMPerPx);
  const limitPx = Math.min(LIMIT_PX, markSizePx === null ? LIMIT_PX : LIMIT_OF_MARK * markSizePx);
  const exposureThatWouldDoS =
    speedMPerS > 0 ? (limitPx * scaleMPerPx) / speedMPerS : Number.POSITIVE_INFINITY;
  return { blurred: blurPx > limitPx, blurPx, limitPx, exposureThatWouldDoS };
}
