import { airDensity } from "../../launch/air.ts";
import { predictRocket } from "../../launch/rocket/predict-rocket.ts";
import { rocketInputProblem } from "../../launch/rocket/rocket-checks.ts";
import type { RocketInputs, RocketPrediction, RocketTurning } from "../../launch/rocket/rocket-inputs.ts";
import {
  type MeasuredRocket,
  rocketInputsOf,
  rocketUncertainInputs,
} from "../../launch/rocket/rocket-measured.ts";
import { airspeed, stallSpeed } from "../../launch/stall.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { elementAt } from "../../quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import { pushInterval } from "../../quantity/push-interval.ts";
import type { QuantityName } from "../../results/shot-result.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { aboveZero, propagate, type UncertainInput } from "../../uncertainty/propagate.ts";
import { rocketFlightModel } from "./rocket-flight-rows.ts";

export interface RocketQuantities {
  readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
  readonly turning: MeasuredTurning;
}

/** As RocketTurning, pitch positive nose up and yaw positive nose right. */
export type MeasuredTurning = Readonly<Record<keyof RocketTurning, Measured | null>>;

const NEIGHBOUR_TOL = 1e-7; // a u found with it is good to 1e-6 of the result, far below any u worth stating
const BASIS = "rocket boost model; u from the inputs, none for the model itself";

/**
 * One result: its name on paper or a word of its own, unit, how it is obtained, and where it stands in a run.
 */
type Row = readonly [
  name: QuantityName | keyof RocketTurning,
  unit: Unit,
  how: string,
  of: (run: RocketPrediction, at: Inputs) => number | null,
];

interface Inputs {
  readonly angleRad: number;
  readonly railM: number;
  readonly density: number;
  readonly wing: { readonly areaM2: number; readonly lift: number } | null;
  readonly headwindMPerS: number;
  readonly turnsOnCradle: boolean;
}

const pushOf = ({ at, leaving, liftOffS }: RocketPrediction) =>
  pushInterval((timeS) => at(timeS).speedMPerS, liftOffS, leaving.timeS);
const load = (acceleration: number, angleRad: number) => acceleration / STANDARD_GRAVITY + Math.sin(angleRad);
const stall = ({ leaving }: RocketPrediction, { wing, density }: Inputs) =>
  wing &&
  stallSpeed({
    massKg: leaving.massKg,
    wingAreaM2: wing.areaM2,
    liftCoefficientMax: wing.lift,
    airDensity: density,
  });

const ROWS: readonly Row[] = [
  [
    "releaseTime",
    "s",
    `from the first ignition to leaving the cradle; ${BASIS}`,
    ({ leaving }) => leaving.timeS,
  ],
  ["releaseSpeed", "m/s", `speed on leaving the cradle; ${BASIS}`, ({ leaving }) => leaving.speedMPerS],
  [
    "peakAcceleration",
    "m/s²",
    `greatest acceleration along the cradle until it is left; ${BASIS}`,
    ({ cradlePeak }) => cradlePeak.value,
  ],
  ["launchAngle", "rad", "the angle of the cradle: the airframe moves along it", (_run, at) => at.angleRad],
  [
    "pushTime",
    "s",
    `from 2 to 98 % of the speed on leaving the cradle; ${BASIS}`,
    (run) => pushOf(run).pushS,
  ],
  ["stroke", "m", "the travel along the cradle", (_run, at) => at.railM],
  [
    "meanPushAcceleration",
    "m/s²",
    `speed gained in the push time; ${BASIS}`,
    (run) => pushOf(run).meanMPerS2,
  ],
  [
    "loadFactor",
    "1",
    `(peak acceleration + g sin θ)/g on the cradle, felt along the push; ${BASIS}`,
    ({ cradlePeak }, at) => load(cradlePeak.value, at.angleRad),
  ],
  [
    "liftOffTime",
    "s",
    `the thrust along the cradle exceeds weight, drag and friction; ${BASIS}`,
    ({ liftOffS }) => liftOffS,
  ],
  ["burnoutTime", "s", "end of the last lit motor's thrust", ({ burnout }) => burnout.timeS],
  [
    "burnoutSpeed",
    "m/s",
    `along the line of the cradle, without lift and turning; ${BASIS}`,
    ({ burnout }) => burnout.speedMPerS,
  ],
  [
    "separationTime",
    "s",
    "first ejection charge: burnout of its motor and the time to the charge",
    ({ separation }) => separation?.timeS ?? null,
  ],
  [
    "pitchRateAtRelease",
    "rad/s",
    `thrust off the centre of gravity, free to turn from lift-off, no air opposing; ${BASIS}`,
    ({ leaving }, at) => (at.turnsOnCradle ? leaving.pitchRateRadPerS : null),
  ],
  [
    "yawRateAtRelease",
    "rad/s",
    `thrust off the centre of gravity, nose right positive, free to turn from lift-off; ${BASIS}`,
    ({ leaving }, at) => (at.turnsOnCradle ? leaving.yawRateRadPerS : null),
  ],
  [
    "stallSpeed",
    "m/s",
    "√(2 m g/(ρ S C_L)) with the mass on leaving the cradle, air density from pressure and temperature",
    stall,
  ],
  [
    "stallMargin",
    "1",
    `airspeed on leaving the cradle, headwind included, over stall speed; ${BASIS}`,
    (run, at) => {
      const least = stall(run, at);
      return least && airspeed(run.leaving.speedMPerS, at.angleRad, at.headwindMPerS) / least;
    },
  ],
  [
    "boostLoadFactor",
    "1",
    `(greatest acceleration + g sin θ)/g from lift-off to burnout, on the cradle or after it; ${BASIS}`,
    ({ boostPeak }, at) => load(boostPeak.value, at.angleRad),
  ],
  ["pitchRad", "rad", "", ({ turning }) => turning.pitchRad],
  ["pitchRateRadPerS", "rad/s", "", ({ turning }) => turning.pitchRateRadPerS],
  ["yawRad", "rad", "", ({ turning }) => turning.yawRad],
  ["yawRateRadPerS", "rad/s", "", ({ turning }) => turning.yawRateRadPerS],
];

/**
 * The predicted results of a boost, and of the flight that nobody steers after it, with first-order standard
 * uncertainties: two runs of the model an uncertain input. Rates of turning at release are given for a cradle
 * that lets the airframe turn and only with the inertia; on one that keeps it in line they are not the
 * thrust's doing. A result of the flight that some neighbour lacks, being up for too long, is left out.
 * @param base the prediction at the inputs' values
 * @returns the quantities; or the name of an input about which the model gives no prediction
 */
export function rocketQuantities(
  shot: LaunchedShot,
  rocket: MeasuredRocket,
  base: { readonly inputs: RocketInputs; readonly run: RocketPrediction },
  joint: JointInputs | null = null,
): { readonly ok: true; readonly value: RocketQuantities } | { readonly ok: false; readonly input: string } {
  const { wingAreaM2: wing, liftCoefficientMax: lift } = shot.airframe;
  const own = rocketUncertainInputs(rocket);
  const wingList: UncertainInput[] =
    wing && lift ? [aboveZero("wingAreaM2", wing), aboveZero("liftCoefficientMax", lift)] : [];
  const flight = rocketFlightModel(shot);
  const list = [...own, ...wingList, ...flight.inputs];
  const centre = own.map(({ value }) => value);
  const inputsAt = (values: readonly number[]): Inputs => {
    const at = (name: string) => values[list.findIndex((one) => one.name === name)]!;
    return {
      angleRad: at("angleRad"),
      railM: at("railM"),
      density: airDensity(at("airPressurePa"), at("temperatureK")),
      headwindMPerS: at("headwindMPerS"),
      turnsOnCradle: rocket.turnsOnCradle,
      wing: wingList.length === 0 ? null : { areaM2: at("wingAreaM2"), lift: at("liftCoefficientMax") },
    };
  };
  const baseAt = inputsAt(list.map(({ value }) => value));
  const rows = ROWS.filter(([, , , of]) => of(base.run, baseAt) !== null);
  const model = (values: readonly number[]): readonly number[] | null => {
    // What the boost does not rest on does not touch it: its prediction stands.
    const boost = centre.every((value, i) => value === values[i]) ? base : boosted(rocket, values);
    if (boost === null) return null;
    const inputs = inputsAt(values);
    const results = rows.map(([, , , of]) => of(boost.run, inputs));
    if (!results.every((result) => result !== null)) return null;
    const at = (name: string) => values[list.findIndex((one) => one.name === name)]!;
    const flown = flight.numbersAt(boost.inputs, boost.run, at);
    return [...results, ...flight.rows.map(([name]) => flown[name])];
  };
  const result = propagate(model, list, joint);
  if (!result.ok) return { ok: false, input: elementAt(list, result.numbers.input ?? 0).name };
  const { values, u } = result.value;
  const found = Object.fromEntries(
    [...rows, ...flight.rows].flatMap(([name, unit, how], i) => {
      const one = { value: elementAt(values, i), u: elementAt(u, i), unit, how };
      return Number.isFinite(one.value) && Number.isFinite(one.u) ? [[name, one]] : [];
    }),
  ) as Partial<Record<Row[0], Quantity>>;
  const {
    pitchRad = null,
    pitchRateRadPerS = null,
    yawRad = null,
    yawRateRadPerS = null,
    ...quantities
  } = found;
  return { ok: true, value: { quantities, turning: { pitchRad, pitchRateRadPerS, yawRad, yawRateRadPerS } } };
}

function boosted(
  rocket: MeasuredRocket,
  values: readonly number[],
): { readonly inputs: RocketInputs; readonly run: RocketPrediction } | null {
  const inputs = rocketInputsOf(rocket, values);
  if (!inputs.ok || rocketInputProblem(inputs.value)) return null;
  const result = ifIntegrable(() => predictRocket(inputs.value, { relTol: NEIGHBOUR_TOL }));
  return result?.ok ? { inputs: inputs.value, run: result.value } : null;
}
