import { lastOf } from "../../quantity/known-element.ts";
import type { Measured } from "../../quantity/measured.ts";
import { aboveZero, type UncertainInput, zeroOrMore } from "../../uncertainty/propagate.ts";
import type { InputProblem } from "../input-problem.ts";
import { type ForcePoint, tableProblem } from "./elastic-curve.ts";

/** Numbers the elastic-line model needs, SI; meanings as in the session's launcher. */
export interface ElasticInputs {
  readonly loading: readonly ForcePoint[];
  /** null when not measured: the loading table then stands for it. */
  readonly unloading: readonly ForcePoint[] | null;
  readonly drawM: number;
  readonly forceScale: number;
  readonly lines: number;
  /** kg of one line. */
  readonly lineMassKg: number;
  readonly carriageKg: number;
  readonly airframeMassKg: number;
  readonly slidingN: number;
  readonly angleRad: number;
  /** What the air does to the airframe; left out, nothing. */
  readonly air?: ElasticAir | undefined;
}

/** Drag area (m²), the air's pressure and temperature, and the headwind along the horizontal (m/s). */
export interface ElasticAir {
  readonly dragAreaM2: number;
  readonly airPressurePa: number;
  readonly temperatureK: number;
  readonly headwindMPerS: number;
}

const ROUNDING = 1e-9; // a draw of 6 ft and a table that ends at 1.8288 m are the same draw

/** The first impossible input, or null when the model can run. */
export function elasticInputProblem(inputs: ElasticInputs): InputProblem | null {
  for (const field of ["drawM", "forceScale", "lines", "airframeMassKg"] as const) {
    if (!(inputs[field] > 0 && inputs[field] < Infinity))
      return { field, value: inputs[field], need: "above 0" };
  }
  for (const field of ["lineMassKg", "carriageKg", "slidingN"] as const) {
    if (!(inputs[field] >= 0 && inputs[field] < Infinity))
      return { field, value: inputs[field], need: "0 or more" };
  }
  if (!Number.isFinite(inputs.angleRad))
    return { field: "angleRad", value: inputs.angleRad, need: "a finite number" };
  if (!Number.isInteger(inputs.lines)) return { field: "lines", value: inputs.lines, need: "a whole number" };
  return airProblem(inputs) ?? tablesProblem(inputs);
}

function airProblem({ air }: ElasticInputs): InputProblem | null {
  if (!air) return null;
  for (const field of ["airPressurePa", "temperatureK"] as const) {
    if (!(air[field] > 0 && air[field] < Infinity)) return { field, value: air[field], need: "above 0" };
  }
  const { dragAreaM2, headwindMPerS } = air;
  if (!(dragAreaM2 >= 0 && dragAreaM2 < Infinity)) {
    return { field: "dragAreaM2", value: dragAreaM2, need: "0 or more" };
  }
  return Number.isFinite(headwindMPerS)
    ? null
    : { field: "headwindMPerS", value: headwindMPerS, need: "a finite number" };
}

function tablesProblem(inputs: ElasticInputs): InputProblem | null {
  for (const name of ["loading", "unloading"] as const) {
    const table = inputs[name];
    if (table === null) continue;
    const fault = tableProblem(table);
    if (fault !== null) {
      return {
        field: `${name}.${fault.point}.${fault.of === "extension" ? 0 : 1}`,
        value: fault.value,
        need: fault.need,
      };
    }
    const last = lastOf(table)[0];
    if (inputs.drawM > last * (1 + ROUNDING)) {
      return { field: "drawM", value: inputs.drawM, need: `at most ${last} m, where the ${name} table ends` };
    }
  }
  return null;
}

/**
 * The line, its load and its draw as a person measured them. The tables share one scale with its uncertainty.
 */
export interface MeasuredElastic {
  readonly loading: readonly ForcePoint[];
  readonly unloading: readonly ForcePoint[] | null;
  readonly lines: number;
  readonly drawM: Measured;
  readonly forceScale: Measured;
  readonly airframeMassKg: Measured;
  readonly lineMassKg: Measured;
  readonly carriageKg: Measured;
  readonly slidingN: Measured;
  readonly angleRad: Measured;
  readonly air?: { readonly [Key in keyof ElasticAir]: Measured } | undefined;
}

const NAMES = [
  "drawM",
  "forceScale",
  "airframeMassKg",
  "lineMassKg",
  "carriageKg",
  "slidingN",
  "angleRad",
] as const;

/**
 * The numbers as a list for propagation, in the order `elasticInputsOf` takes them, within
 * what the model may be asked.
 */
export function uncertainElastic(line: MeasuredElastic): readonly UncertainInput[] {
  const { value: draw } = line.drawM;
  const ends = [line.loading, line.unloading].flatMap((table) => table?.at(-1)?.[0] ?? []);
  const lastM = Math.min(...ends);
  const { air } = line;
  const ofAir: readonly UncertainInput[] = air
    ? [
        zeroOrMore("dragAreaM2", air.dragAreaM2),
        aboveZero("airPressurePa", air.airPressurePa),
        aboveZero("temperatureK", air.temperatureK),
        { name: "headwindMPerS", ...air.headwindMPerS },
      ]
    : [];
  const own = NAMES.map((name): UncertainInput => {
    switch (name) {
      case "drawM":
        return { ...aboveZero(name, line.drawM), high: Math.max(draw, lastM) };
      case "forceScale":
      case "airframeMassKg":
        return aboveZero(name, line[name]);
      case "angleRad":
        return { name, ...line.angleRad };
      default:
        return zeroOrMore(name, line[name]);
    }
  });
  return [...own, ...ofAir];
}

/** ElasticInputs from the values of `uncertainElastic`, in its order. */
export function elasticInputsOf(line: MeasuredElastic, values: readonly number[]): ElasticInputs {
  const at = Object.fromEntries(NAMES.map((name, i) => [name, values[i]])) as Record<
    (typeof NAMES)[number],
    number
  >;
  const [dragAreaM2, airPressurePa, temperatureK, headwindMPerS] = values.slice(NAMES.length);
  const air = line.air && { dragAreaM2, airPressurePa, temperatureK, headwindMPerS };
  return { ...at, loading: line.loading, unloading: line.unloading, lines: line.lines, air };
}
