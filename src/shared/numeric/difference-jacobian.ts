const ROUNDING = 2.220446049250313e-16;
// second over first difference beyond which a step is too long: an error of about 1e-7
const MOST_CURVED = 1e-3;
const RIGHT_CURVED = 1e-5; // and what it is then brought to

/**
 * Central differences with steps of the cube root of the rounding: relative error about 1e-10.
 * Where the typical size was far too large for the place, the residuals bend within the step; it is
 * then taken shorter, once.
 * @param residuals writes r(p) into out [m]  @param typical [n]  @param p [n]  @param r [m], at p
 * @param out [m*n], row by row
 */
export function differenceJacobian(
  residuals: (p: Float64Array, out: Float64Array) => void,
  typical: ArrayLike<number>,
  p: Float64Array,
  r: Float64Array,
  out: Float64Array,
): void {
  const n = p.length;
  const m = r.length;
  const plus = new Float64Array(m);
  const minus = new Float64Array(m);
  const at = p.slice();
  for (let j = 0; j < n; j++) {
    let h = Math.cbrt(ROUNDING) * Math.max(Math.abs(p[j]), typical[j]);
    for (const last of [false, true]) {
      at[j] = p[j] + h;
      residuals(at, plus);
      const above = at[j];
      at[j] = p[j] - h;
      residuals(at, minus);
      const width = above - at[j];
      at[j] = p[j];
      let [straight, bent] = [0, 0];
      for (let i = 0; i < m; i++) {
        straight += (plus[i] - minus[i]) ** 2;
        bent += (plus[i] + minus[i] - 2 * r[i]) ** 2;
        out[i * n + j] = (plus[i] - minus[i]) / width;
      }
      const curved = Math.sqrt(bent / straight);
      if (last || !(curved > MOST_CURVED)) break;
      h *= Math.max(RIGHT_CURVED / curved, 1e-4);
    }
  }
}
