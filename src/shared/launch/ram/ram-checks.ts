import { AIR_GAMMA } from "../air.ts";
import type { InputProblem } from "../input-problem.ts";
import { openingProblem } from "./opening-curve.ts";
import { OPTIONAL_RAM_INPUTS, type RamInputs, type ValveInputs } from "./ram-inputs.ts";

/**
 * The first impossible input, or null when the ram model can run. Gauge pressure may be
 * any: the run refuses it.
 */
export function ramInputProblem(inputs: RamInputs): InputProblem | null {
  return (
    numberProblem(inputs) ??
    gasProblem(inputs) ??
    valvesProblem(inputs) ??
    openingProblemOf(inputs) ??
    rodProblem(inputs)
  );
}

function numberProblem(inputs: RamInputs): InputProblem | null {
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
  const { looseMassKg = 0, totalMassKg } = inputs;
  if (!(looseMassKg >= 0 && looseMassKg <= totalMassKg)) {
    return fail("looseMassKg", looseMassKg, "from 0 to the total mass");
  }
  if (!((inputs.tankTemperatureK ?? 1) > 0 && (inputs.tankTemperatureK ?? 1) < Infinity)) {
    return fail("tankTemperatureK", inputs.tankTemperatureK!, "above 0");
  }
  if (!Number.isFinite(inputs.headwindMPerS ?? 0)) {
    return fail("headwindMPerS", inputs.headwindMPerS!, "a finite number");
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
  return null;
}

function gasProblem({ gas, polytropicExponent = Number.NaN }: RamInputs): InputProblem | null {
  if (gas === "polytropic" && !(polytropicExponent >= 1 && polytropicExponent <= AIR_GAMMA)) {
    return fail("polytropicExponent", polytropicExponent, `from 1 to ${AIR_GAMMA}`);
  }
  return null;
}

/** A closed vent is a gas spring and may be asked for; a closed drive valve never shoots. */
function valvesProblem({ valve, moreValves = [], rodChamber }: RamInputs): InputProblem | null {
  return (
    valveProblem("valve", valve, false) ??
    moreValves
      .map((more, i) => valveProblem(`moreValves.${i}.valve`, more.valve, false))
      .find((one) => one !== null) ??
    (rodChamber ? valveProblem("rodChamber.vent", rodChamber.vent, true) : null)
  );
}

function openingProblemOf({ openingCurve }: RamInputs): InputProblem | null {
  const problem = openingCurve === undefined ? null : openingProblem(openingCurve);
  if (problem === null) return null;
  const { point, of, value, need } = problem;
  return fail(`openingCurve.${point}.${of === "time" ? 0 : 1}`, value, need);
}

function rodProblem({ rodChamber, boreM }: RamInputs): InputProblem | null {
  if (!rodChamber) return null;
  const { rodDiameterM, volumeM3 } = rodChamber;
  if (!(rodDiameterM > 0 && rodDiameterM < boreM)) {
    return fail("rodChamber.rodDiameterM", rodDiameterM, "above 0 and below the bore");
  }
  if (!(volumeM3 > 0 && volumeM3 < Infinity)) return fail("rodChamber.volumeM3", volumeM3, "above 0");
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
