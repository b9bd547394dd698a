/**
 * Root of a continuous function between a and b, where its values have opposite signs, by regula falsi with
 * the Illinois change (Dowell & Jarratt, BIT 11 (1971) 168): superlinear, never leaves the bracket.
 * @param fa, fb values at a and b, of opposite sign or zero
 * @param tolerance width of the bracket at which to stop; 0 means as far as doubles go
 * @returns the bracket's end with the smaller |f|
 * @throws RangeError when the signs do not differ
 */
export function findRoot(
  f: (x: number) => number,
  a: number,
  fa: number,
  b: number,
  fb: number,
  tolerance = 0,
): number {
  if (fa * fb > 0 || !Number.isFinite(fa) || !Number.isFinite(fb)) {
    throw new RangeError(`findRoot: need values of opposite sign; got ${fa} and ${fb}`);
  }
  // The weights shrink the value of an end that stays put twice: the Illinois change.
  let [x0, y0, x1, y1] = [a, fa, b, fb];
  let [w0, w1, last] = [1, 1, -1];
  for (let i = 0; i < MAX_ITERATIONS && y0 !== 0 && y1 !== 0; i++) {
    if (Math.abs(x1 - x0) <= tolerance) break;
    let x = x1 - (w1 * y1 * (x1 - x0)) / (w1 * y1 - w0 * y0);
    if (!(x > Math.min(x0, x1) && x < Math.max(x0, x1))) x = x0 + (x1 - x0) / 2;
    if (x === x0 || x === x1) break; // no double lies between
    const y = f(x);
    if (Math.sign(y) === Math.sign(y0)) {
      w1 = last === 0 ? w1 / 2 : 1;
      [x0, y0, w0, last] = [x, y, 1, 0];
    } else {
      w0 = last === 1 ? w0 / 2 : 1;
      [x1, y1, w1, last] = [x, y, 1, 1];
    }
  }
  return Math.abs(y0) < Math.abs(y1) ? x0 : x1;
}

const MAX_ITERATIONS = 100; // 60 halvings exhaust a double; Illinois needs about 8
