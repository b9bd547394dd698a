import { DEGREE, DEGREES_PER_RAD } from "../quantity/angle.ts";
import type { UnitSet } from "../quantity/display.ts";
import { displayUnit } from "../quantity/display.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { type EntryKind, type EntryUnit, entryUnit } from "./entry-unit.ts";
import type { Input } from "./input.ts";

/** A unit that a number may have been typed in by mistake, and what it then is in SI. */
export interface Slip {
  readonly symbol: string;
  readonly si: number;
}

const INCH = 0.0254; // m, exact
const FOOT = 0.3048; // m, exact
const POUND = 0.45359237; // kg, exact
const POUND_FORCE = 4.4482216152605; // N, exact

const unit = (symbol: string, factor: number, offset = 0): EntryUnit => ({ symbol, factor, offset });

const LENGTHS = [unit("mm", 1e3), unit("cm", 1e2), unit("m", 1), unit("in", 1 / INCH), unit("ft", 1 / FOOT)];
const MASSES = [unit("g", 1e3), unit("kg", 1), unit("lb", 1 / POUND), unit("oz", 16 / POUND)];
const PRESSURES = [
  displayUnit("Pa", "field"),
  unit("Pa", 1),
  unit("kPa", 1e-3),
  unit("bar", 1e-5),
  unit("hPa", 1e-2),
];
const VOLUMES = [unit("mL", 1e6), unit("L", 1e3), unit("m³", 1), unit("in³", 1 / INCH ** 3)];
const TIMES = [unit("ms", 1e3), unit("s", 1), unit("µs", 1e6)];

/**
 * The units that each kind of number is met in: in a data sheet, on a scale, on a gauge, in another program.
 */
const UNITS: Partial<Readonly<Record<EntryKind, readonly EntryUnit[]>>> = {
  length: LENGTHS,
  "small-length": LENGTHS,
  distance: LENGTHS,
  metres: LENGTHS,
  mass: MASSES,
  "small-mass": MASSES,
  inertia: [unit("g·m²", 1e3), unit("kg·m²", 1), unit("kg·cm²", 1e4), unit("g·cm²", 1e7)],
  area: [unit("dm²", 1e2), unit("cm²", 1e4), unit("m²", 1), unit("in²", INCH ** -2), unit("ft²", FOOT ** -2)],
  pressure: PRESSURES,
  "air-pressure": [...PRESSURES, unit("mmHg", 1 / 133.322387415), unit("inHg", 1 / 3386.389)],
  temperature: [unit("°C", 1, -273.15), unit("K", 1), displayUnit("K", "field")],
  speed: [unit("m/s", 1), unit("km/h", 3.6), unit("ft/s", 1 / FOOT), unit("mph", 3.6 / 1.609344)],
  volume: VOLUMES,
  "small-volume": VOLUMES,
  conductance: [
    unit("dm³/(s·bar)", 1e8),
    unit("cm³/(s·bar)", 1e11),
    unit("L/(min·bar)", 6e9),
    unit("m³/(s·Pa)", 1),
  ],
  time: TIMES,
  duration: TIMES,
  force: [unit("N", 1), unit("kN", 1e-3), unit("lbf", 1 / POUND_FORCE), unit("kgf", 1 / STANDARD_GRAVITY)],
  impulse: [unit("N·s", 1), unit("lbf·s", 1 / POUND_FORCE)],
  strokes: [unit("strokes/min", 60), unit("strokes/s", 1)],
  "free-air": [unit("L/min", 6e4), unit("L/s", 1e3), unit("m³/h", 3600), unit("ft³/min", 60 / FOOT ** 3)],
  angle: [unit("°", DEGREES_PER_RAD), unit("rad", 1), unit("mrad", 1e3)],
  "parts-per-million": [unit("ppm", 1e6), unit("%", 100), unit("parts in 1", 1)],
  load: [unit("g", 1), unit("m/s²", STANDARD_GRAVITY)],
  "inverse-angle": [unit("1/rad", 1), unit("1/°", DEGREE)],
};

// of the greatest plausible value: where zero is plausible, every large slip would fit near it
const NEAR_ZERO = 1e-3;
const MOST_SLIPS = 2; // more would be a table of units, not a hint

/**
 * The units in which the number, as the person's field shows it, would be a plausible value: the
 * likely slips, at most two.
 * @param si the value as the document holds it
 */
export function slipsOf(
  { kind, plausible: [least, most] }: Input,
  si: number,
  set: UnitSet,
): readonly Slip[] {
  const meant = entryUnit(kind, set);
  const typed = si * meant.factor + meant.offset;
  const others = (UNITS[kind] ?? []).filter((one) => one.symbol !== meant.symbol);
  return others
    .map((one) => ({ symbol: one.symbol, si: (typed - one.offset) / one.factor }))
    .filter(
      ({ si: meantSi }) =>
        meantSi >= least && meantSi <= most && Math.abs(meantSi) > NEAR_ZERO * (least > 0 ? 0 : most),
    )
    .slice(0, MOST_SLIPS);
}
