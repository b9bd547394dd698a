/** Ratio of specific heats of dry air, 1 (ISO 2533:1975 uses the same 1.4). */
export const AIR_GAMMA = 1.4;

/** Specific gas constant of dry air, J/(kg·K). */
export const AIR_GAS_CONSTANT = 287.05;

/**
 * kg/m³ and K: density and temperature of the reference atmosphere in which ISO 6358 states a conductance
 * (ISO 8778: 20 °C, 100 kPa, 65 % relative humidity).
 */
export const REFERENCE_DENSITY = 1.185;
export const REFERENCE_TEMPERATURE = 293.15;

/**
 * Density of dry air, ρ = p/(R T), kg/m³.
 * @param pressurePa absolute, > 0
 * @throws RangeError when a value is not a positive finite number
 */
export function airDensity(pressurePa: number, temperatureK: number): number {
  if (!(pressurePa > 0 && temperatureK > 0 && pressurePa < Infinity && temperatureK < Infinity)) {
    throw new RangeError(
      `airDensity: need positive pressure and temperature; got ${pressurePa} Pa, ${temperatureK} K`,
    );
  }
  return pressurePa / (AIR_GAS_CONSTANT * temperatureK);
}

/**
 * Drag along a straight path, N, against the motion through the air: D = ½ρ C_dA w|w|.
 * @param airspeedMPerS w along the path, speed and what of the headwind blows along it
 */
export function dragAlong(dragAreaM2: number, density: number, airspeedMPerS: number): number {
  return 0.5 * density * dragAreaM2 * airspeedMPerS * Math.abs(airspeedMPerS);
}
