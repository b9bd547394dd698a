import { displayUnit, type UnitSet } from "../quantity/display.ts";
import type { Unit } from "../quantity/measured.ts";

/**
 * A planned number, which has no uncertainty, with its unit in the person's set, to three
 * significant digits: "7.64 ft".
 * @param si the value in SI units  @param way up or down so that the number shown still does
 */
export function plannedNumber(
  si: number,
  unit: Unit,
  units: UnitSet,
  way: "near" | "up" | "down" = "near",
): string {
  const { symbol, factor, offset } = displayUnit(unit, units);
  const space = symbol === "°" || symbol === "" ? "" : " ";
  return `${threeDigits(si * factor + offset, way)}${space}${symbol}`;
}

/** Three significant digits, or fewer. */
export function threeDigits(value: number, way: "near" | "up" | "down" = "near"): string {
  const step = 10 ** (Math.floor(Math.log10(Math.abs(value) || 1)) - 2);
  const steps = value / step;
  const whole =
    way === "up" ? Math.ceil(steps - 1e-9) : way === "down" ? Math.floor(steps + 1e-9) : Math.round(steps);
  return String(Number((whole * step).toPrecision(3)));
}
