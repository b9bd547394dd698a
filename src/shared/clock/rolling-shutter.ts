/**
 * Apparent over true speed along the direction in which rows are read: 1/(1 - v t_row), for marks that are
 * given their frame's time instead of their row's. Source: Meingast, Geyer & Sastry, "Geometric models of
 * rolling-shutter cameras" (2005).
 * @param speedPxPerS true speed, positive the way the rows are read @param rowS s a row
 * @throws RangeError when the point outruns the reading (v t_row >= 1), and so is never or always seen
 */
export function apparentSpeedRatio(speedPxPerS: number, rowS: number): number {
  const product = speedPxPerS * rowS;
  if (!(product < 1)) throw new RangeError(`apparentSpeedRatio: ${speedPxPerS} px/s outruns ${rowS} s a row`);
  return 1 / (1 - product);
}

/**
 * rad, lean of an upright edge that moves across the rows: atan(v t_row), about v t_row: a false pitch of
 * an upright pair of marks.
 */
export function shutterLeanRad(speedAcrossPxPerS: number, rowS: number): number {
  return Math.atan(speedAcrossPxPerS * rowS);
}
