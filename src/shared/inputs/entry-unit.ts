import { DEGREES_PER_RAD } from "../quantity/angle.ts";
import { displayUnit, type UnitSet } from "../quantity/display.ts";

/** A unit that a person types in: shown = si * factor + offset; the offset never applies to u. */
export interface EntryUnit {
  readonly symbol: string;
  readonly factor: number;
  readonly offset: number;
}

const INCH = 0.0254; // m, exact

/** What kind of number a field takes. */
export type EntryKind =
  | "length"
  | "small-length"
  | "distance"
  | "mass"
  | "small-mass"
  | "inertia"
  | "area"
  | "pressure"
  | "air-pressure"
  | "temperature"
  | "speed"
  | "volume"
  | "small-volume"
  | "conductance"
  | "time"
  | "duration"
  | "impulse"
  | "strokes"
  | "free-air"
  | "angle"
  | "angle-rate"
  | "acceleration"
  | "force"
  | "viscous"
  | "turning-stiffness"
  | "turning-damping"
  | "rate"
  | "parts-per-million"
  | "ratio"
  | "load"
  | "pixels"
  | "metres"
  | "per-second"
  | "inverse-angle"
  | "whole-frames"
  | "count";

const SI: Readonly<Record<EntryKind, EntryUnit>> = {
  length: unit("mm", 1e3),
  "small-length": unit("mm", 1e3),
  distance: unit("m", 1),
  mass: unit("kg", 1),
  "small-mass": unit("g", 1e3),
  inertia: unit("g·m²", 1e3),
  area: unit("dm²", 1e2),
  pressure: unit("bar", 1e-5),
  "air-pressure": unit("hPa", 1e-2),
  temperature: unit("°C", 1, -273.15),
  speed: unit("m/s", 1),
  volume: unit("L", 1e3),
  "small-volume": unit("mL", 1e6),
  conductance: unit("dm³/(s·bar)", 1e8),
  time: unit("ms", 1e3),
  duration: unit("s", 1),
  impulse: unit("N·s", 1),
  strokes: unit("strokes/min", 60),
  "free-air": unit("L/min", 6e4),
  angle: unit("°", DEGREES_PER_RAD),
  "angle-rate": unit("°/s", DEGREES_PER_RAD),
  acceleration: unit("m/s²", 1),
  force: unit("N", 1),
  viscous: unit("N·s/m", 1),
  "turning-stiffness": unit("N·m/rad", 1),
  "turning-damping": unit("N·m·s/rad", 1),
  rate: unit("frames/s", 1),
  "parts-per-million": unit("ppm", 1e6),
  ratio: unit("", 1),
  load: unit("g", 1),
  pixels: unit("px", 1),
  metres: unit("m", 1),
  "per-second": unit("s", 1), // "1/2500 s": the number typed is the 2500
  "inverse-angle": unit("1/rad", 1),
  "whole-frames": unit("", 1),
  count: unit("", 1),
};

const FIELD: Partial<Record<EntryKind, EntryUnit>> = {
  length: unit("in", 1 / INCH),
  distance: displayUnit("m", "field"),
  mass: displayUnit("kg", "field"),
  pressure: displayUnit("Pa", "field"),
  temperature: displayUnit("K", "field"),
  speed: displayUnit("m/s", "field"),
  acceleration: displayUnit("m/s²", "field"),
};

/** The unit a person types a kind of number in. */
export function entryUnit(kind: EntryKind, set: UnitSet): EntryUnit {
  return (set === "field" ? FIELD[kind] : undefined) ?? SI[kind];
}

function unit(symbol: string, factor: number, offset = 0): EntryUnit {
  return { symbol, factor, offset };
}
