import { STANDARD_GRAVITY } from "./gravity.ts";
import type { Measured, Unit } from "./measured.ts";

/**
 * Which units a person reads: SI, or the field set (psi, ft/s, mph, g, °/s). Documents and files are always
 * SI.
 */
export type UnitSet = "SI" | "field";

/** How a kind of number is shown: shown = si * factor + offset. An offset never applies to an uncertainty. */
export interface DisplayUnit {
  readonly symbol: string;
  readonly factor: number;
  readonly offset: number;
}

const DEGREES_IN_RADIAN = 180 / Math.PI;
const FOOT = 0.3048; // m, exact (international foot, 1959)
const PSI = 6894.757293168361; // Pa: lbf/in², 4.4482216152605 N / (0.0254 m)²

const plain = (symbol: string, factor = 1, offset = 0): DisplayUnit => ({ symbol, factor, offset });

const SI_DISPLAY: Partial<Record<Unit, DisplayUnit>> = {
  rad: plain("°", DEGREES_IN_RADIAN),
  "rad/s": plain("°/s", DEGREES_IN_RADIAN),
  "rad/s²": plain("°/s²", DEGREES_IN_RADIAN),
  Pa: plain("bar", 1e-5),
  K: plain("°C", 1, -273.15),
  "1": plain(""),
};

const FIELD_DISPLAY: Partial<Record<Unit, DisplayUnit>> = {
  ...SI_DISPLAY,
  m: plain("ft", 1 / FOOT),
  "m/s": plain("ft/s", 1 / FOOT),
  "m/s²": plain("g", 1 / STANDARD_GRAVITY),
  Pa: plain("psi", 1 / PSI),
  K: plain("°F", 9 / 5, -459.67),
  kg: plain("lb", 1 / 0.45359237),
};

/** The unit a person reads for an SI unit. Angles are always in degrees, pressures in bar or psi. */
export function displayUnit(unit: Unit, set: UnitSet): DisplayUnit {
  return (set === "SI" ? SI_DISPLAY : FIELD_DISPLAY)[unit] ?? plain(unit);
}

export interface Shown {
  readonly value: string;
  readonly u: string;
  readonly symbol: string;
  /** value ± u unit, e.g. "14.21 ± 0.06 m/s" */
  readonly text: string;
}

/**
 * Formats a value with its standard uncertainty for a person: u to two significant digits when its first two
 * digits are below 30, otherwise one; the value to the same decimal place (JCGM 100:2008, 7.2.6: one or two
 * digits suffice). Minus signs are U+2212. A u of 0 is shown as "0" with the value to six digits.
 * @throws RangeError when value or u is not finite or u < 0
 */
export function showMeasured(measured: Measured, unit: Unit, set: UnitSet = "SI", signed = false): Shown {
  const { value, u } = measured;
  if (!Number.isFinite(value) || !Number.isFinite(u) || u < 0) {
    throw new RangeError(`showMeasured: need a finite value and u >= 0; got ${value}, ${u}`);
  }
  const display = displayUnit(unit, set);
  const shownValue = value * display.factor + display.offset;
  const shownU = u * display.factor;
  const places = decimalsFor(shownU);
  const number = places === null ? trimmed(shownValue) : withPlaces(shownValue, places);
  const uText = places === null ? "0" : withPlaces(shownU, places);
  const sign = signed && shownValue > 0 ? "+" : "";
  const valueText = sign + number.replace("-", "−");
  return {
    value: valueText,
    u: uText,
    symbol: display.symbol,
    text: `${valueText} ± ${uText}${spaceBefore(display.symbol)}${display.symbol}`,
  };
}

function spaceBefore(symbol: string): string {
  return symbol === "°" || symbol === "" ? "" : " ";
}

/**
 * Formats a number that has no uncertainty of its own, because it is stated, a limit, or only told in
 * passing: "8 bar", "12°".
 * @param digits most significant digits; zeros at the end are left out
 * @throws RangeError when the value is not finite
 */
export function showExact(value: number, unit: Unit, set: UnitSet = "SI", digits = 6): string {
  const { factor, offset, symbol } = displayUnit(unit, set);
  const rounded = Number((value * factor + offset).toPrecision(digits));
  const text = showMeasured({ value: (rounded - offset) / factor, u: 0 }, unit, set).value;
  return `${text}${spaceBefore(symbol)}${symbol}`;
}

/** Decimal place the uncertainty is shown to: negative for tens and up; null when u is 0. */
function decimalsFor(u: number): number | null {
  if (u === 0) return null;
  const exponent = Math.floor(Math.log10(u));
  const leading = u / 10 ** exponent;
  return leading < 2.95 ? 1 - exponent : -exponent;
}

function withPlaces(x: number, places: number): string {
  if (places >= 0) return avoidNegativeZero(x.toFixed(Math.min(places, 12)));
  const step = 10 ** -places;
  return avoidNegativeZero((Math.round(x / step) * step).toFixed(0));
}

function avoidNegativeZero(text: string): string {
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text;
}

function trimmed(x: number): string {
  return avoidNegativeZero(String(Number(x.toPrecision(6))));
}
