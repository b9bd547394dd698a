import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";

/** A line of a report's list: what it is, and what is stated of it. */
export type Fact = readonly [name: string, says: string];

/** Formats measured values in a set of units, each on one line with its unit. */
export function sayer(units: UnitSet): (measured: Measured, unit: Unit) => string {
  return (measured, unit) => unbroken(showMeasured(measured, unit, units).text.trim());
}

/** A volume, given in m³. */
export function litres(volumeM3: Measured): string {
  return `${thousandfold(volumeM3)}\u00a0L`;
}

/** A length, given in m. */
export function millimetres(lengthM: Measured): string {
  return `${thousandfold(lengthM)}\u00a0mm`;
}

/** Keeps a unit on the line of its number. */
export function unbroken(text: string): string {
  return text.replace(/ (?=[^ ]+$)/, "\u00a0");
}

function thousandfold({ value, u }: Measured): string {
  return showMeasured({ value: 1000 * value, u: 1000 * u }, "1").text.trim();
}
