import { STANDARD_GRAVITY as G } from "../../quantity/gravity.ts";

/*
 * A body thrown straight up, m v̇ = −m g − ½ ρ C_dA v |v|, with the terminal speed v_t = √(2 m g/(ρ C_dA)).
 * All closed forms; source: e.g. J. R. Taylor, Classical Mechanics, 2.4. The air's density is that of the
 * launch: 127 m of climb thin it so little that the apogee rises by 0.15 m.
 */

/**
 * Speed at which drag equals weight, v_t = √(2 m g/(ρ C_dA)), m/s; Infinity for a drag area of 0.
 * @throws RangeError when mass or density is not positive, or the drag area is below 0
 */
export function terminalSpeed(massKg: number, dragAreaM2: number, airDensity: number): number {
  if (!(massKg > 0 && airDensity > 0 && dragAreaM2 >= 0 && massKg + airDensity + dragAreaM2 < Infinity)) {
    throw new RangeError(`terminalSpeed: got ${massKg} kg, ${dragAreaM2} m², ${airDensity} kg/m³`);
  }
  return Math.sqrt((2 * massKg * G) / (airDensity * dragAreaM2));
}

/**
 * Launch speed that reaches a height: v₀ = v_t √(e^(2 g h/v_t²) − 1), m/s; √(2 g h) without drag. From
 * h = (v_t²/2g) ln(1 + v₀²/v_t²).
 * @throws RangeError when h < 0 or the terminal speed is not positive
 */
export function speedFromApogee(heightM: number, terminal: number): number {
  check("speedFromApogee", heightM, terminal);
  if (terminal === Infinity) return Math.sqrt(2 * G * heightM);
  return terminal * Math.sqrt(Math.expm1((2 * G * heightM) / terminal ** 2));
}

function check(name: string, x: number, terminal: number): void {
  if (!(x >= 0 && x < Infinity && terminal > 0))
    throw new RangeError(`${name}: got ${x} with terminal speed ${terminal} m/s`);
}
