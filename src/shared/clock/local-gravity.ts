import type { Measured } from "../quantity/measured.ts";

const EQUATOR = 9.7803253359; // m/s²
const FORMULA_K = 0.00193185265241;
const ECCENTRICITY2 = 0.00669437999013;
const FREE_AIR = 3.086e-6; // 1/s²
// m/s², 50 mGal: what the ground's uneven mass commonly adds or takes. Common practice, no source.
const ANOMALY_U = 5e-4;

/**
 * Gravity at a place: WGS-84 normal gravity by Somigliana's closed form with the free-air gradient,
 * g = 9.7803253359 (1 + 0.00193185265241 sin²φ)/√(1 - 0.00669437999013 sin²φ) - 3.086e-6 h.
 * Source: NIMA TR8350.2, 3rd ed. (WGS 84), eq. 4-1; u stands for the local anomaly,
 * which the formula leaves out.
 * @param latitudeRad geodetic, -π/2 to π/2 @param heightM above the sea
 * @throws RangeError on another latitude, or a height outside -1000 to 10000 m, where the linear
 *   gradient holds to 1e-4 m/s²
 */
export function localGravity(latitudeRad: number, heightM: number): Measured {
  if (!(Math.abs(latitudeRad) <= Math.PI / 2) || !(heightM >= -1000 && heightM <= 10_000)) {
    throw new RangeError(
      `localGravity: latitude ${latitudeRad} rad, height ${heightM} m is no place on the ground`,
    );
  }
  const s2 = Math.sin(latitudeRad) ** 2;
  const normal = (EQUATOR * (1 + FORMULA_K * s2)) / Math.sqrt(1 - ECCENTRICITY2 * s2);
  return { value: normal - FREE_AIR * heightM, u: ANOMALY_U };
}
