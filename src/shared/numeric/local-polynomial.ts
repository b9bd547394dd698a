/**
 * Savitzky-Golay weights: the d-th derivative at sample `at` of the degree-p least-squares polynomial through
 * n equally spaced samples (unit spacing), oldest first; divide by T^d for spacing T. Built from the Gram
 * polynomials, which are orthogonal on the samples, so no matrix is inverted.
 * Sources: Savitzky & Golay, Anal. Chem. 36:1627 (1964); Gorry, Anal. Chem. 62:570 (1990), eq. 9 to 11.
 * @param samples n, >= degree + 1  @param at sample index, 0 to n - 1, fractions allowed
 * @throws RangeError on sizes that do not fit
 */
export function localPolynomialWeights(
  samples: number,
  degree: number,
  derivative: number,
  at: number,
): readonly number[] {
  const whole = [samples, degree, derivative].every((n) => Number.isInteger(n) && n >= 0);
  if (!whole || samples < degree + 1 || !(at >= 0 && at <= samples - 1)) {
    throw new RangeError(
      `localPolynomialWeights: got n ${samples}, degree ${degree}, d ${derivative}, at ${at}`,
    );
  }
  const centre = (samples - 1) / 2;
  const values = Array.from({ length: samples }, (_, i) => orthogonal(i - centre, degree, 0, samples));
  const atPoint = orthogonal(at - centre, degree, derivative, samples);
  const norms = Array.from({ length: degree + 1 }, (_, k) =>
    values.reduce((sum, row) => sum + row[k] ** 2, 0),
  );
  return values.map((row) => row.reduce((sum, value, k) => sum + (value * atPoint[k]) / norms[k], 0));
}

/**
 * d-th derivatives at x of the monic polynomials orthogonal on n unit-spaced samples centred on 0:
 * P_{k+1} = x P_k - b_k P_{k-1}, b_k = k² (n² - k²) / (4 (4 k² - 1)).
 */
function orthogonal(x: number, degree: number, derivative: number, n: number): readonly number[] {
  // table[d][k]: d-th derivative of P_k
  const table: number[][] = Array.from({ length: derivative + 1 }, () => []);
  for (let k = 0; k <= degree; k++) {
    const b = k > 1 ? ((k - 1) ** 2 * (n * n - (k - 1) ** 2)) / (4 * (4 * (k - 1) ** 2 - 1)) : 0;
    for (let d = 0; d <= derivative; d++) {
      const row = table[d] as number[];
      if (k === 0) {
        row.push(d === 0 ? 1 : 0);
        continue;
      }
      const before = row[k - 1];
      const lower = d > 0 ? d * (table[d - 1] as number[])[k - 1] : 0;
      const older = k > 1 ? b * row[k - 2] : 0;
      row.push(x * before + lower - older);
    }
  }
  return table[derivative] as number[];
}
