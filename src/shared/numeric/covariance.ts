/** Covariance of a point in the plane: [var x, cov(x, y), var y], in the square of the point's unit. */
export type Covariance2 = readonly [number, number, number];

/** J C Jᵀ for a point in the plane. @param j [2*n] row by row @param c [n*n], symmetric */
export function carried(j: ArrayLike<number>, c: ArrayLike<number>, n: number): Covariance2 {
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let a = 0; a < n; a++) {
    let cx = 0;
    let cy = 0;
    for (let b = 0; b < n; b++) {
      cx += c[a * n + b] * j[b];
      cy += c[a * n + b] * j[n + b];
    }
    xx += j[a] * cx;
    xy += j[a] * cy;
    yy += j[n + a] * cy;
  }
  return [xx, xy, yy];
}

/** gᵀ C g, the variance of a number with gradient g. @param c [n*n], symmetric, n the length of g */
export function varianceOf(g: ArrayLike<number>, c: ArrayLike<number>): number {
  const n = g.length;
  let sum = 0;
  for (let a = 0; a < n; a++) for (let b = 0; b < n; b++) sum += g[a] * c[a * n + b] * g[b];
  return sum;
}

/** Sum of two covariances. */
export function added(a: Covariance2, b: Covariance2): Covariance2 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}
