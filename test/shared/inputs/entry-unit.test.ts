import { describe, expect, it } from "vitest";
import { readEntry, typedOf } from "../../../src/renderer/ledger/fields/measured-entry.ts";
import { type EntryKind, entryUnit } from "../../../src/shared/inputs/entry-unit.ts";
import type { Input } from "../../../src/shared/inputs/input.ts";
import { slipsOf } from "../../../src/shared/inputs/unit-slips.ts";
import type { UnitSet } from "../../../src/shared/quantity/display.ts";

/**
 * One of each unit in SI, and where its zero lies, written out from the definitions in NIST Special
 * Publication 811 (2008), appendix B.8 and table 8, and in ISO 80000: none is taken from the source under
 * test. Those with more than a defined factor say why.
 */
const ONE: Readonly<Record<string, { readonly si: number; readonly zero?: number }>> = {
  "": { si: 1 },
  m: { si: 1 },
  mm: { si: 0.001 },
  cm: { si: 0.01 },
  in: { si: 0.0254 },
  ft: { si: 0.3048 },
  kg: { si: 1 },
  g: { si: 0.001 },
  lb: { si: 0.45359237 },
  oz: { si: 0.028349523125 },
  "kg·m²": { si: 1 },
  "g·m²": { si: 0.001 },
  "kg·cm²": { si: 0.0001 },
  "g·cm²": { si: 0.0000001 },
  "m²": { si: 1 },
  "dm²": { si: 0.01 },
  "cm²": { si: 0.0001 },
  "in²": { si: 0.00064516 },
  "ft²": { si: 0.09290304 },
  Pa: { si: 1 },
  hPa: { si: 100 },
  kPa: { si: 1000 },
  bar: { si: 100000 },
  psi: { si: 4.4482216152605 / 0.00064516 }, // a pound-force on a square inch
  mmHg: { si: 133.322387415 }, // 13.5951 g/cm³ times 9.80665 m/s² times 1 mm
  inHg: { si: 3386.389 }, // the same times 25.4, to the seven digits of the publication
  K: { si: 1 },
  "°C": { si: 1, zero: 273.15 },
  "°F": { si: 5 / 9, zero: 273.15 - (32 * 5) / 9 },
  "m/s": { si: 1 },
  "km/h": { si: 1000 / 3600 },
  "ft/s": { si: 0.3048 },
  mph: { si: 1609.344 / 3600 },
  "m³": { si: 1 },
  L: { si: 0.001 },
  mL: { si: 0.000001 },
  "in³": { si: 0.000016387064 },
  "m³/(s·Pa)": { si: 1 },
  "dm³/(s·bar)": { si: 0.001 / 100000 },
  "cm³/(s·bar)": { si: 0.000001 / 100000 },
  "L/(min·bar)": { si: 0.001 / 60 / 100000 },
  s: { si: 1 },
  ms: { si: 0.001 },
  µs: { si: 0.000001 },
  N·s: { si: 1 },
  "N·m/rad": { si: 1 },
  "N·m·s/rad": { si: 1 },
  lbf·s: { si: 4.4482216152605 },
  "strokes/min": { si: 1 / 60 },
  "strokes/s": { si: 1 },
  "L/min": { si: 0.001 / 60 },
  "L/s": { si: 0.001 },
  "m³/h": { si: 1 / 3600 },
  "ft³/min": { si: 0.028316846592 / 60 },
  "°": { si: Math.PI / 180 },
  rad: { si: 1 },
  mrad: { si: 0.001 },
  "°/s": { si: Math.PI / 180 },
  "m/s²": { si: 1 },
  N: { si: 1 },
  kN: { si: 1000 },
  lbf: { si: 4.4482216152605 },
  kgf: { si: 9.80665 },
  "N·s/m": { si: 1 },
  "frames/s": { si: 1 },
  ppm: { si: 0.000001 },
  "%": { si: 0.01 },
  "parts in 1": { si: 1 },
  px: { si: 1 },
  "1/rad": { si: 1 },
  "1/°": { si: 180 / Math.PI },
};
const STANDARD_GRAVITY = 9.80665; // m/s², CGPM 1901

/**
 * The unit of each kind in the SI set and the field set, and the units it is mistaken for. A kind without a
 * row does not compile.
 */
const KINDS: Readonly<Record<EntryKind, { si: string; field: string; slips: readonly string[] }>> = {
  length: { si: "mm", field: "in", slips: ["mm", "cm", "m", "in", "ft"] },
  "small-length": { si: "mm", field: "mm", slips: ["cm", "m", "in", "ft"] },
  distance: { si: "m", field: "ft", slips: ["mm", "cm", "m", "in", "ft"] },
  mass: { si: "kg", field: "lb", slips: ["g", "kg", "lb", "oz"] },
  "small-mass": { si: "g", field: "g", slips: ["kg", "lb", "oz"] },
  inertia: { si: "g·m²", field: "g·m²", slips: ["kg·m²", "kg·cm²", "g·cm²"] },
  area: { si: "dm²", field: "dm²", slips: ["cm²", "m²", "in²", "ft²"] },
  pressure: { si: "bar", field: "psi", slips: ["psi", "Pa", "kPa", "bar", "hPa"] },
  "air-pressure": { si: "hPa", field: "hPa", slips: ["psi", "Pa", "kPa", "bar", "mmHg", "inHg"] },
  temperature: { si: "°C", field: "°F", slips: ["°C", "K", "°F"] },
  speed: { si: "m/s", field: "ft/s", slips: ["m/s", "km/h", "ft/s", "mph"] },
  volume: { si: "L", field: "L", slips: ["mL", "m³", "in³"] },
  "small-volume": { si: "mL", field: "mL", slips: ["L", "m³", "in³"] },
  conductance: {
    si: "dm³/(s·bar)",
    field: "dm³/(s·bar)",
    slips: ["cm³/(s·bar)", "L/(min·bar)", "m³/(s·Pa)"],
  },
  time: { si: "ms", field: "ms", slips: ["s", "µs"] },
  duration: { si: "s", field: "s", slips: ["ms", "µs"] },
  impulse: { si: "N·s", field: "N·s", slips: ["lbf·s"] },
  strokes: { si: "strokes/min", field: "strokes/min", slips: ["strokes/s"] },
  "free-air": { si: "L/min", field: "L/min", slips: ["L/s", "m³/h", "ft³/min"] },
  angle: { si: "°", field: "°", slips: ["rad", "mrad"] },
  "angle-rate": { si: "°/s", field: "°/s", slips: [] },
  acceleration: { si: "m/s²", field: "g", slips: [] },
  force: { si: "N", field: "N", slips: ["kN", "lbf", "kgf"] },
  viscous: { si: "N·s/m", field: "N·s/m", slips: [] },
  "turning-stiffness": { si: "N·m/rad", field: "N·m/rad", slips: [] },
  "turning-damping": { si: "N·m·s/rad", field: "N·m·s/rad", slips: [] },
  rate: { si: "frames/s", field: "frames/s", slips: [] },
  "parts-per-million": { si: "ppm", field: "ppm", slips: ["%", "parts in 1"] },
  ratio: { si: "", field: "", slips: [] },
  load: { si: "g", field: "g", slips: ["m/s²"] },
  pixels: { si: "px", field: "px", slips: [] },
  metres: { si: "m", field: "m", slips: ["mm", "cm", "in", "ft"] },
  "per-second": { si: "s", field: "s", slips: [] },
  "inverse-angle": { si: "1/rad", field: "1/rad", slips: ["1/°"] },
  "whole-frames": { si: "", field: "", slips: [] },
  count: { si: "", field: "", slips: [] },
};

/** "g" is a gram where a mass is typed, and the standard acceleration where an acceleration or a load is. */
function oneOf(kind: EntryKind, symbol: string): { si: number; zero: number } {
  if (kind === "acceleration" && symbol === "g") return { si: STANDARD_GRAVITY, zero: 0 };
  // A load is a number of g: as an acceleration it is so many m/s² each.
  if (kind === "load") return { si: symbol === "g" ? 1 : 1 / STANDARD_GRAVITY, zero: 0 };
  const { si, zero = 0 } = ONE[symbol]!;
  return { si, zero };
}

const kinds = Object.keys(KINDS) as EntryKind[];
const sets: readonly UnitSet[] = ["SI", "field"];
const cases = kinds.flatMap((kind) => sets.map((set) => [kind, set] as const));
const unitOf = (kind: EntryKind, set: UnitSet) => (set === "SI" ? KINDS[kind].si : KINDS[kind].field);
const share = (a: number, b: number) => Math.abs(a / b - 1);

describe("entryUnit", () => {
  it.each(cases)(
    "takes %s in the %s set in its unit, to the last bits of its published size",
    (kind, set) => {
      const unit = entryUnit(kind, set);
      const symbol = unitOf(kind, set);
      const { si, zero } = oneOf(kind, symbol);
      expect(unit.symbol).toBe(symbol);
      const entry = readEntry({ value: "37", u: "3" }, unit, "any");
      if (entry.kind !== "stands") throw new Error(`read as ${entry.kind}`);
      expect(share(entry.stands.value, zero + 37 * si)).toBeLessThan(1e-12);
      expect(share(entry.stands.u, 3 * si)).toBeLessThan(1e-12);
    },
  );

  it.each(cases)("shows %s in the %s set as it was typed", (kind, set) => {
    const { si, zero } = oneOf(kind, unitOf(kind, set));
    const measured = { value: zero + 37 * si, u: 3 * si };
    expect(typedOf(measured, entryUnit(kind, set))).toEqual({ value: "37", u: "3" });
  });
});

describe("slipsOf", () => {
  const slips = cases.flatMap(([kind, set]) =>
    KINDS[kind].slips
      .filter((symbol) => symbol !== unitOf(kind, set))
      .map((symbol) => [kind, set, symbol] as const),
  );

  it.each(slips)("recognises %s in the %s set typed in %s, and says what it then is", (kind, set, symbol) => {
    const meant = oneOf(kind, unitOf(kind, set));
    const other = oneOf(kind, symbol);
    const then = other.zero + 37 * other.si; // what 37 of the other unit are
    // A range that holds nothing else.
    const plausible = [then * (1 - 1e-9), then * (1 + 1e-9)] as const;
    const found = slipsOf({ kind, plausible } as Input, meant.zero + 37 * meant.si, set);
    expect(found.map((slip) => slip.symbol)).toContain(symbol);
    expect(share(found.find((slip) => slip.symbol === symbol)!.si, then)).toBeLessThan(1e-9);
  });
});
