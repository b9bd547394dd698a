import { chiSquareTail } from "./chi-square.ts";
import { logGamma } from "./log-gamma.ts";

/**
 * Two-sided coverage factor of Student's t: the k for which |T| <= k with probability p at `nu` degrees of
 * freedom, e.g. 2.571 for p = 0.95 and nu = 5. For nu = Infinity that of the normal distribution. Degrees of
 * freedom need not be whole, as those of Welch and Satterthwaite are not. By inverting the incomplete beta
 * function (NIST Digital Library of Mathematical Functions, 8.17), above 1000 degrees of freedom by the
 * normal's and the Cornish-Fisher series (Abramowitz & Stegun 26.7.5). Good to 1e-10 of the value.
 * @throws RangeError unless 0 < p < 1 and nu > 0
 */
export function studentT(p: number, nu: number): number {
  if (!(p > 0 && p < 1) || !(nu > 0)) {
    throw new RangeError(`studentT: need 0 < p < 1 and nu > 0; got ${p}, ${nu}`);
  }
  if (nu > LARGE) return largeNu(normalFactor(p), nu);
  // The smaller of the two probabilities is solved for, so that neither is lost beside 1.
  const target = Math.log(p < 0.5 ? p : 1 - p);
  return Math.exp(
    rootOfMonotone((logT) => {
      const square = Math.exp(2 * logT);
      const x = square / (nu + square);
      const value =
        p < 0.5 ? incompleteBeta(0.5, nu / 2, x) : incompleteBeta(nu / 2, 0.5, nu / (nu + square));
      return (p < 0.5 ? 1 : -1) * (Math.log(value) - target);
    }),
  );
}

const LARGE = 1000;

/** k with P(|Z| <= k) = p for a standard normal Z: Z² is a chi-square of one degree of freedom. */
function normalFactor(p: number): number {
  return Math.exp(
    rootOfMonotone((logK) => {
      const tail = chiSquareTail(Math.exp(2 * logK), 1);
      return p < 0.5 ? Math.log(1 - tail) - Math.log(p) : Math.log(1 - p) - Math.log(tail);
    }),
  );
}

/** Abramowitz & Stegun 26.7.5, four terms: what is left is below z¹¹/nu⁵. */
function largeNu(z: number, nu: number): number {
  if (nu === Infinity) return z;
  const z2 = z * z;
  const g1 = (z * (z2 + 1)) / 4;
  const g2 = (z * ((5 * z2 + 16) * z2 + 3)) / 96;
  const g3 = (z * (((3 * z2 + 19) * z2 + 17) * z2 - 15)) / 384;
  const g4 = (z * ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945)) / 92160;
  return z + (g1 + (g2 + (g3 + g4 / nu) / nu) / nu) / nu;
}

/**
 * Regularised incomplete beta function I_x(a, b) by the continued fraction of DLMF 8.17.22, on the side of
 * the mean where it converges fast.
 */
function incompleteBeta(a: number, b: number, x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  if (x > (a + 1) / (a + b + 2)) return 1 - (front * fraction(b, a, 1 - x)) / b;
  return (front * fraction(a, b, x)) / a;
}

/** The continued fraction by Lentz's method. */
function fraction(a: number, b: number, x: number): number {
  const tiny = 1e-300;
  const away = (value: number) => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return h;
}

/** Root of an increasing function by bracketing from 0 outwards, then halving: 60 rounds exhaust a double. */
function rootOfMonotone(f: (x: number) => number): number {
  let [low, high] = [-1, 1];
  while (f(low) > 0 && low > -600) low *= 2;
  while (f(high) < 0 && high < 300) high *= 2;
  for (let i = 0; i < 80 && high - low > 1e-15; i++) {
    const middle = (low + high) / 2;
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
