/**
 * Probability that chi-square with `dof` degrees of freedom exceeds `chi2`: Q(dof/2, chi2/2), by the recurrence
 * Q(a + 1, x) = Q(a, x) + x^a e^(-x)/Γ(a + 1) from Q(1, x) = e^(-x) or Q(1/2, x) = erfc √x. Source: NIST DLMF 8.8.6, 8.4.5, 7.11.2.
 * @throws RangeError when dof is no whole number >= 1 or chi2 < 0
 */
export function chiSquareTail(chi2: number, dof: number): number {
  if (!Number.isInteger(dof) || dof < 1 || !(chi2 >= 0)) {
    throw new RangeError(`chiSquareTail: need chi2 >= 0, whole dof >= 1; got ${chi2}, ${dof}`);
  }
  const x = chi2 / 2;
  if (x === 0) return 1;
  const even = dof % 2 === 0;
  let tail = even ? Math.exp(-x) : complementaryError(Math.sqrt(x));
  // log of x^a e^-x / Γ(a + 1), for a = 1 or 1/2; Γ(3/2) = √π / 2.
  let logTerm = even ? Math.log(x) - x : Math.log(x) / 2 - x - Math.log(Math.sqrt(Math.PI) / 2);
  for (let a = even ? 1 : 0.5; a + 0.25 < dof / 2; a++) {
    tail += Math.exp(logTerm);
    logTerm += Math.log(x / (a + 1));
  }
  return Math.min(1, tail);
}

const SERIES_UP_TO = 2.5; // beyond it the continued fraction converges in a few dozen terms

/** erfc z for z >= 0: Maclaurin series (DLMF 7.6.2) below 2.5, Laplace's continued fraction (DLMF 7.9.1) above. */
function complementaryError(z: number): number {
  const scale = (2 / Math.sqrt(Math.PI)) * Math.exp(-z * z);
  if (z < SERIES_UP_TO) {
    let [sum, term] = [0, z];
    for (let n = 0; term > 1e-18 * sum; n++) {
      sum += term;
      term *= (2 * z * z) / (2 * n + 3);
    }
    return 1 - scale * sum;
  }
  let fraction = 0;
  for (let n = 100; n >= 1; n--) fraction = n / 2 / (z + fraction);
  return scale / 2 / (z + fraction);
}
