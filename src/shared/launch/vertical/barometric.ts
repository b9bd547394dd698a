const STANDARD_K = 288.15; // temperature of the standard atmosphere at height 0, ISO 2533:1975

/**
 * The height above the ground that an altimeter set to zero there and taking the standard 288.15 K should
 * have given: reading × T/288.15. Exact when the air cools by 6.5 K/km: both heights are (T/L)[1 − (p/p₀)^(R
 * L/g)] with one ratio of pressures (ISO 2533:1975).
 * @param groundK K, temperature of the air at the ground
 * @throws RangeError when the temperature is not positive
 */
export function heightInDaysAir(readingM: number, groundK: number): number {
  if (!(groundK > 0 && groundK < Infinity))
    throw new RangeError(`heightInDaysAir: need a positive temperature; got ${groundK}`);
  return (readingM * groundK) / STANDARD_K;
}
