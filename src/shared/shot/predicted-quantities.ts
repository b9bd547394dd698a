import { airDensity } from "../launch/air.ts";
import { IntegrationError } from "../launch/integrate.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../launch/launcher-inputs.ts";
import { predictRam } from "../launch/predict-ram.ts";
import { propagate, type UncertainInput } from "../launch/propagate.ts";
import { ramInputProblem } from "../launch/ram-checks.ts";
import type { RamInputs, RamPrediction } from "../launch/ram-inputs.ts";
import { airspeed, stallSpeed } from "../launch/stall.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Quantity, Unit } from "../quantity/measured.ts";
import type { Session, Shot } from "../session/schema.ts";
import type { QuantityName } from "./shot-result.ts";

export type PredictedQuantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

const NEIGHBOUR_TOL = 1e-7; // a u found with it is good to 5e-8 of the result, far below any u worth stating
const BASIS = "compressed-air ram model; u from the inputs, none for the model itself";

/** The results the ram gives, in the order `ramResults` returns them. */
const RAM_RESULTS: readonly (readonly [QuantityName, Unit, string])[] = [
  ["releaseTime", "s", `from the valve starting to open to the end of the stroke; ${BASIS}`],
  ["releaseSpeed", "m/s", `speed at the end of the stroke; ${BASIS}`],
  ["peakAcceleration", "m/s²", `greatest acceleration along the push; ${BASIS}`],
  ["launchAngle", "rad", "the angle of the launcher: the ram pushes along it"],
  ["pushTime", "s", `from first motion to the end of the stroke; ${BASIS}`],
  ["stroke", "m", "the stroke of the launcher"],
  ["meanPushAcceleration", "m/s²", `release speed over push time; ${BASIS}`],
  ["loadFactor", "1", `(peak acceleration + g sin θ)/g, felt along the push; ${BASIS}`],
];
const STALL_RESULTS: readonly (readonly [QuantityName, Unit, string])[] = [
  ["stallSpeed", "m/s", "√(2 m g/(ρ S C_L)), air density from pressure and temperature"],
  ["stallMargin", "1", `airspeed at release, headwind included, over stall speed; ${BASIS}`],
];

/**
 * The predicted results of a shot with first-order standard uncertainties: two runs of the ram model an uncertain input.
 * Pitch rate is left out: the ram model says nothing of pitch. Stall speed and margin need wing area and lift coefficient.
 * @param base the prediction at the inputs' values
 * @returns the quantities; or the name of an input about which the model gives no prediction
 */
export function predictedQuantities(
  session: Session,
  shot: Shot,
  ram: MeasuredRam,
  base: RamPrediction,
):
  | { readonly ok: true; readonly value: PredictedQuantities }
  | { readonly ok: false; readonly input: string } {
  const { wingAreaM2: wing, liftCoefficientMax: lift } = session.airframe;
  const ramList = uncertainInputs(ram);
  const wingList: UncertainInput[] =
    wing && lift
      ? [
          { name: "wingAreaM2", ...wing, low: wing.value / 100 },
          { name: "liftCoefficientMax", ...lift, low: lift.value / 100 },
          { name: "headwindMPerS", ...shot.conditions.headwindMPerS },
        ]
      : [];
  const list = [...ramList, ...wingList];
  const names = [...RAM_RESULTS, ...(wing && lift ? STALL_RESULTS : [])];
  const massAt = ramList.findIndex(({ name }) => name === "airframeMassKg");

  const model = (values: readonly number[]): readonly number[] | null => {
    const ramValues = values.slice(0, ramList.length);
    const inputs = ramInputsOf(ram, ramValues);
    // Wing and wind do not touch the ram: its prediction stands.
    const untouched = ramValues.every((value, i) => value === ramList[i]!.value);
    const run = untouched ? base : launched(inputs);
    if (run === null) return null;
    const results = ramResults(inputs, run);
    const [area, coefficient, headwind] = values.slice(ramList.length);
    if (area === undefined || coefficient === undefined || headwind === undefined) return results;
    const least = stallSpeed({
      massKg: ramValues[massAt]!,
      wingAreaM2: area,
      liftCoefficientMax: coefficient,
      airDensity: airDensity(inputs.airPressurePa, inputs.temperatureK),
    });
    return [...results, least, airspeed(run.exitSpeedMPerS, inputs.angleRad, headwind) / least];
  };
  const result = propagate(model, list);
  if (!result.ok) return { ok: false, input: list[result.numbers.input ?? 0]!.name };
  const { values, u } = result.value;
  const entries = names.map(([name, unit, how], i): [QuantityName, Quantity] => [
    name,
    { value: values[i]!, u: u[i]!, unit, how },
  ]);
  return { ok: true, value: Object.fromEntries(entries) };
}

function launched(inputs: RamInputs): RamPrediction | null {
  if (ramInputProblem(inputs)) return null;
  try {
    const result = predictRam(inputs, { relTol: NEIGHBOUR_TOL });
    return result.ok ? result.value : null;
  } catch (error) {
    if (error instanceof IntegrationError) return null;
    throw error;
  }
}

function ramResults({ angleRad, strokeM }: RamInputs, ram: RamPrediction): readonly number[] {
  const pushS = ram.exitS - ram.startS;
  return [
    ram.exitS,
    ram.exitSpeedMPerS,
    ram.peakAccelerationMPerS2,
    angleRad,
    pushS,
    strokeM,
    ram.exitSpeedMPerS / pushS,
    ram.peakAccelerationMPerS2 / STANDARD_GRAVITY + Math.sin(angleRad),
  ];
}
