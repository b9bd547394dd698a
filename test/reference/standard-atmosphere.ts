/**
 * Standard atmosphere up to 11 km, ISO 2533:1975: temperature and pressure at height 0,
 * lapse, gas constant, gravity.
 */
const SEA_K = 288.15;
const SEA_PA = 101_325;
const LAPSE = 0.0065; // K/m
const GAS = 287.05287; // J/(kg·K)
const GRAVITY = 9.80665; // m/s²
const EARTH_RADIUS = 6_356_766; // m, the radius that standard uses between geometric and geopotential height
const EXPONENT = GRAVITY / (LAPSE * GAS);
const TROPOPAUSE = 11_000; // m

/** The ground an altimeter was set to zero on; the standard's sea level when left out. */
export interface BarometricGround {
  readonly pressurePa: number;
  readonly temperatureK: number;
}

const SEA_LEVEL: BarometricGround = { pressurePa: SEA_PA, temperatureK: SEA_K };

/**
 * Pressure at a geopotential height above ground whose air cools by 6.5 K/km: p = p₀ (1
 * − L H/T₀)^(g/(R L)), Pa.
 * Source: ISO 2533:1975.
 * @param heightM −5000 to 11000 m, where that lapse holds in the standard
 * @throws RangeError outside it, or when pressure or temperature is not positive
 */
export function pressureAtHeight(heightM: number, ground: BarometricGround = SEA_LEVEL): number {
  checkGround(ground);
  if (!(heightM >= -5000 && heightM <= TROPOPAUSE)) {
    throw new RangeError(`pressureAtHeight: need -5000 to 11000 m; got ${heightM}`);
  }
  return ground.pressurePa * (1 - (LAPSE * heightM) / ground.temperatureK) ** EXPONENT;
}

/**
 * Inverse of `pressureAtHeight`: H = (T₀/L)[1 − (p/p₀)^(R L/g)], m.
 * @throws RangeError when the pressure is not positive
 */
export function heightAtPressure(pressurePa: number, ground: BarometricGround = SEA_LEVEL): number {
  checkGround(ground);
  if (!(pressurePa > 0 && pressurePa < Infinity)) {
    throw new RangeError(`heightAtPressure: need a positive pressure; got ${pressurePa}`);
  }
  return (ground.temperatureK / LAPSE) * (1 - (pressurePa / ground.pressurePa) ** (1 / EXPONENT));
}

/**
 * Density of the standard atmosphere at a geopotential height: p/(R T), kg/m³.
 * @throws RangeError as `pressureAtHeight`
 */
export function standardDensity(heightM: number): number {
  return pressureAtHeight(heightM) / (GAS * (SEA_K - LAPSE * heightM));
}

/** Geopotential height of a geometric one, H = r h/(r + h), r = 6 356 766 m. Source: ISO 2533:1975. */
export function geopotentialHeight(geometricM: number): number {
  return (EARTH_RADIUS * geometricM) / (EARTH_RADIUS + geometricM);
}

function checkGround({ pressurePa, temperatureK }: BarometricGround): void {
  if (!(pressurePa > 0 && temperatureK > 0 && pressurePa < Infinity && temperatureK < Infinity)) {
    throw new RangeError(
      `barometric ground: need positive pressure and temperature; got ${pressurePa} Pa, ${temperatureK} K`,
    );
  }
}
