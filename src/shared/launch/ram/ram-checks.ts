import { AIR_GAMMA } from "../air.ts";
import type { InputProblem } from "../input-problem.ts";
import { OPTIONAL_RAM_INPUTS, type RamInputs, type ValveInputs } from "./ram-inputs.ts";

/** The first impossible input, or null when the ram model can run. Gauge pressure may be any: the run refuses it. */
export function ramInputProblem(inputs: RamInputs): InputProblem | null {
  const positive = [
    "tankVolumeM3",
    "airPressurePa",
    "temperatureK",
    "boreM",
    "strokeM",
    "deadVolumeM3",
    "totalMassKg",
  ] as const;
  const nonnegative = ["openingS", "breakawayN", "slidingN", "viscousNsPerM"] as const;
  for (const field of positive) {
    if (!(inputs[field] > 0 && inputs[field] < Infinity)) return fail(field, inputs[field], "above 0");
  }
  for (const field of nonnegative) {
    if (!(inputs[field] >= 0 && inputs[field] < Infinity)) return fail(field, inputs[field], "0 or more");
  }
  for (const field of ["gaugePressurePa", "angleRad"] as const) {
    if (!Number.isFinite(inputs[field])) return fail(field, inputs[field], "a finite number");
  }
  const more = inputs.moreValves ?? [];
  const times: readonly (readonly [string, number])[] = [
    ["delayS", inputs.delayS ?? 0],
    ...OPTIONAL_RAM_INPUTS.map((name) => [name, inputs[name] ?? 0] as const),
    ...more.flatMap(({ openingS, delayS }, i): [string, number][] => [
      [`moreValves.${i}.openingS`, openingS],
      [`moreValves.${i}.delayS`, delayS],
    ]),
  ];
  for (const [field, value] of times) {
    if (!(value >= 0 && value < Infinity)) return fail(field, value, "0 or more");
  }
  const { gas, polytropicExponent = Number.NaN } = inputs;
  if (gas === "polytropic" && !(polytropicExponent >= 1 && polytropicExponent <= AIR_GAMMA)) {
    return fail("polytropicExponent", polytropicExponent, `from 1 to ${AIR_GAMMA}`);
  }
  const rod = inputs.rodChamber;
  // A closed vent is a gas spring and may be asked for; a closed drive valve never shoots.
  const problem =
    valveProblem("valve", inputs.valve, false) ??
    more
      .map(({ valve }, i) => valveProblem(`moreValves.${i}.valve`, valve, false))
      .find((one) => one !== null) ??
    (rod ? valveProblem("rodChamber.vent", rod.vent, true) : null);
  if (problem) return problem;
  if (rod) {
    if (!(rod.rodDiameterM > 0 && rod.rodDiameterM < inputs.boreM)) {
      return fail("rodChamber.rodDiameterM", rod.rodDiameterM, "above 0 and below the bore");
    }
    if (!(rod.volumeM3 > 0 && rod.volumeM3 < Infinity)) {
      return fail("rodChamber.volumeM3", rod.volumeM3, "above 0");
    }
  }
  return null;
}

function valveProblem(
  name: string,
  { conductance, criticalRatio }: ValveInputs,
  mayBeClosed: boolean,
): InputProblem | null {
  if (!((mayBeClosed ? conductance >= 0 : conductance > 0) && conductance < Infinity)) {
    return fail(`${name}.conductance`, conductance, mayBeClosed ? "0 or more" : "above 0");
  }
  if (!(criticalRatio >= 0 && criticalRatio < 1)) {
    return fail(`${name}.criticalRatio`, criticalRatio, "0 or more and below 1");
  }
  return null;
}

function fail(field: string, value: number, need: string): InputProblem {
  return { field, value, need };
}
