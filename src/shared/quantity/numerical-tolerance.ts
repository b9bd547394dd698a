/**
 * Half a unit of u's one significant digit: u rounded to c · 10^l, c a digit, gives 10^l / 2; 0 for a
 * u of 0. Two ways of coming to a result agree when they lie no further apart. In the unit of u.
 * Source: JCGM 101:2008, 7.9.2.
 */
export function numericalTolerance(u: number): number {
  if (!(u > 0)) return 0;
  const l = Math.floor(Math.log10(u));
  return 10 ** (Math.round(u / 10 ** l) === 10 ? l + 1 : l) / 2;
}
