import { logGamma } from "./log-gamma.ts";

/**
 * Probability that a chi-square of `dof` degrees of freedom exceeds x: Q(dof/2, x/2), the regularised upper
 * incomplete gamma function, by its series below dof/2 + 1 and its continued fraction above. Source: NIST
 * Digital Library of Mathematical Functions, 8.7.1 and 8.9.2. Good to 1e-12 of the value. 1 when dof is 0.
 * @throws RangeError unless x >= 0 and dof is a whole number >= 0
 */
export function chiSquareTail(x: number, dof: number): number {
  if (!(x >= 0) || !Number.isInteger(dof) || dof < 0) {
    throw new RangeError(`chiSquareTail: need x >= 0 and a whole dof >= 0; got ${x}, ${dof}`);
  }
  if (dof === 0 || x === 0) return 1;
  if (x === Infinity) return 0;
  const a = dof / 2;
  const z = x / 2;
  const front = Math.exp(a * Math.log(z) - z - logGamma(a));
  return z < a + 1 ? 1 - front * series(a, z) : front * fraction(a, z);
}

/** Sum over k of z^k / (a (a+1) ... (a+k)). */
function series(a: number, z: number): number {
  let term = 1 / a;
  let sum = term;
  for (let k = 1; k < 100_000; k++) {
    term *= z / (a + k);
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum;
}

/** Continued fraction of DLMF 8.9.2 by Lentz's method. */
function fraction(a: number, z: number): number {
  const tiny = 1e-300;
  let b = z + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 100_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = an * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + an / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const change = d * c;
    h *= change;
    if (Math.abs(change - 1) < 1e-16) break;
  }
  return h;
}
