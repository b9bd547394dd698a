/**
 * ln Gamma(x) for x > 0: shifted above 12, then Stirling's series (DLMF 5.11.1) with
 * seven terms, good to 1e-15.
 */
export function logGamma(x: number): number {
  let shift = 0;
  let at = x;
  while (at < 12) {
    shift -= Math.log(at);
    at += 1;
  }
  const terms = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156];
  let sum = 0;
  let power = 1 / at;
  for (const term of terms) {
    sum += term * power;
    power /= at * at;
  }
  return shift + (at - 0.5) * Math.log(at) - at + 0.5 * Math.log(2 * Math.PI) + sum;
}
