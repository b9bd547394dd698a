import { chiSquareTail } from "./chi-square.ts";

/**
 * The x that a chi-square of `dof` degrees of freedom exceeds with probability `tail`: the inverse of
 * `chiSquareTail`, by halving in ln x. Good to 1e-10 of the value.
 * @throws RangeError unless 0 < tail < 1 and dof is a whole number >= 1
 */
export function chiSquareQuantile(tail: number, dof: number): number {
  if (!(tail > 0 && tail < 1) || !Number.isInteger(dof) || dof < 1) {
    throw new RangeError(`chiSquareQuantile: need 0 < tail < 1 and a whole dof >= 1; got ${tail}, ${dof}`);
  }
  const above = (logX: number) => chiSquareTail(Math.exp(logX), dof) > tail;
  let [low, high] = [-1, 1];
  while (!above(low) && low > -700) low *= 2;
  while (above(high) && high < 700) high *= 2;
  for (let i = 0; i < 80 && high - low > 1e-14; i++) {
    const middle = (low + high) / 2;
    if (above(middle)) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
