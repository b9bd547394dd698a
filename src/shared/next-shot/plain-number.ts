import { displayUnit, type UnitSet } from "../quantity/display.ts";
import type { Unit } from "../quantity/measured.ts";

const DIGITS = 3;

/**
 * A number that is looked for, not measured, in the person's unit to three digits: "3.92 bar"; downwards
 * where it is the most allowed.
 */
export function plainNumber(
  value: number,
  unit: Unit,
  units: UnitSet,
  round: "near" | "down" = "near",
): string {
  const { factor, offset, symbol } = displayUnit(unit, units);
  const shown = value * factor + offset;
  const wanted = shown === 0 ? 0 : DIGITS - 1 - Math.floor(Math.log10(Math.abs(shown)));
  const places = Math.max(0, Math.min(wanted, 12));
  const held = round === "down" ? Math.floor(shown * 10 ** places) / 10 ** places : shown;
  const text = held.toFixed(places).replace("-", "−");
  return symbol === "" ? text : `${text} ${symbol}`;
}
