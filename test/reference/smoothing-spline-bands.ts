/**
 * A symmetric matrix of five bands: its diagonal [m], and the first [m - 1] and
 * second [m - 2] band beside it.
 */
export type Bands = readonly [readonly number[], readonly number[], readonly number[]];

/** L D Lᵀ of such a matrix: D [m] and the two bands of L below its unit diagonal. */
export interface BandFactors {
  readonly d: readonly number[];
  readonly first: readonly number[];
  readonly second: readonly number[];
}

/**
 * Factors a positive definite matrix of five bands. Source: Golub & Van Loan, Matrix
 * Computations, 4th ed., 4.3.6.
 */
export function factorBands([a0, a1, a2]: Bands): BandFactors {
  const m = a0.length;
  const d = new Array<number>(m);
  const first = new Array<number>(m).fill(0);
  const second = new Array<number>(m).fill(0);
  for (let i = 0; i < m; i++) {
    const [near, far] = [i > 0 ? first[i - 1]! : 0, i > 1 ? second[i - 2]! : 0];
    const [dNear, dFar] = [i > 0 ? d[i - 1]! : 0, i > 1 ? d[i - 2]! : 0];
    d[i] = a0[i]! - near * near * dNear - far * far * dFar;
    if (i + 1 < m) first[i] = (a1[i]! - (i > 0 ? near * second[i - 1]! * dNear : 0)) / d[i]!;
    if (i + 2 < m) second[i] = a2[i]! / d[i]!;
  }
  return { d, first, second };
}

/** Solves L D Lᵀ x = b. @returns x [m], a fresh array */
export function solveBands({ d, first, second }: BandFactors, b: readonly number[]): number[] {
  const m = d.length;
  const x = b.slice();
  for (let i = 0; i < m; i++) {
    if (i > 0) x[i] = x[i]! - first[i - 1]! * x[i - 1]!;
    if (i > 1) x[i] = x[i]! - second[i - 2]! * x[i - 2]!;
  }
  for (let i = m - 1; i >= 0; i--) {
    x[i] = x[i]! / d[i]!;
    if (i + 1 < m) x[i] = x[i]! - first[i]! * x[i + 1]!;
    if (i + 2 < m) x[i] = x[i]! - second[i]! * x[i + 2]!;
  }
  return x;
}

/**
 * The five middle bands of (L D Lᵀ)⁻¹, from the last row upwards. Source: Hutchinson & de Hoog,
 * Numer. Math. 47:99 (1985).
 */
export function bandsOfInverse({ d, first, second }: BandFactors): Bands {
  const m = d.length;
  const s0 = new Array<number>(m).fill(0);
  const s1 = new Array<number>(Math.max(0, m - 1)).fill(0);
  const s2 = new Array<number>(Math.max(0, m - 2)).fill(0);
  for (let i = m - 1; i >= 0; i--) {
    const [e, f] = [first[i]!, second[i]!];
    const [below, across, far] = [s0[i + 1] ?? 0, s1[i + 1] ?? 0, s0[i + 2] ?? 0];
    if (i + 1 < m) s1[i] = -e * below - f * across;
    if (i + 2 < m) s2[i] = -e * across - f * far;
    s0[i] = 1 / d[i]! - e * (s1[i] ?? 0) - f * (s2[i] ?? 0);
  }
  return [s0, s1, s2];
}
