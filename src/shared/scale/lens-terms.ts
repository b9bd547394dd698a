import type { PxPoint } from "../quantity/point.ts";
import { LENS_TERMS, type LensProfile } from "./lens-model.ts";

/** One term of a lens profile. */
export type LensTerm = (typeof LENS_TERMS)[number];

/** The eight numbers of a profile in the order of LENS_TERMS. */
export function termsOf(focalPx: number, centrePx: PxPoint): number[] {
  return [focalPx, centrePx[0], centrePx[1], 0, 0, 0, 0, 0];
}

/** Lens numbers as the model takes them. */
export function lensOf(terms: ArrayLike<number>) {
  return {
    focalPx: terms[0],
    centrePx: [terms[1], terms[2]] as const,
    k1: terms[3],
    k2: terms[4],
    k3: terms[5],
    p1: terms[6],
    p2: terms[7],
  };
}

/** Typical size of each term, for the steps of a fit. */
export function typicalTerms(focalPx: number): number[] {
  return [focalPx, focalPx, focalPx, 0.1, 0.1, 0.1, 0.001, 0.001];
}

/**
 * The covariance of the fitted terms (the first of a larger covariance) put in its places among all eight.
 */
export function spreadCovariance(
  fitted: readonly number[],
  covariance: Float64Array,
  n: number,
  enlarge: number,
): LensProfile["covariance"] {
  const out = new Array<number>(64).fill(0);
  fitted.forEach((term, i) => {
    fitted.forEach((other, j) => {
      out[8 * term + other] = enlarge * covariance[i * n + j];
    });
  });
  return out;
}

/** Indices of terms, in the order of LENS_TERMS. */
export function indicesOf(terms: readonly LensTerm[]): number[] {
  return LENS_TERMS.map((_, k) => k).filter((k) => terms.includes(LENS_TERMS[k]));
}
