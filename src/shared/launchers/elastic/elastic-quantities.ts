import { airDensity } from "../../launch/air.ts";
import {
  type ElasticInputs,
  elasticInputProblem,
  elasticInputsOf,
  type MeasuredElastic,
  uncertainElastic,
} from "../../launch/elastic/elastic-inputs.ts";
import { intoCarriageStop } from "../../launch/elastic/line-loads.ts";
import { type ElasticPrediction, predictElastic } from "../../launch/elastic/predict-elastic.ts";
import { endStopLoad } from "../../launch/end-stop.ts";
import { airspeed, stallSpeed } from "../../launch/stall.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { elementAt } from "../../quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import { pushInterval } from "../../quantity/push-interval.ts";
import type { QuantityName } from "../../results/shot-result.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import { covariancesWith } from "../../uncertainty/covariances-with.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { aboveZero, propagate, type UncertainInput } from "../../uncertainty/propagate.ts";

const ELASTIC_RESULTS: readonly (readonly [QuantityName, Unit, string])[] = [
  ["releaseTime", "s", "from letting go until the line is slack"],
  ["releaseSpeed", "m/s", "speed when the line is slack"],
  ["peakAcceleration", "m/s²", "greatest acceleration along the pull"],
  ["launchAngle", "rad", "the angle of the launcher: the line pulls along it"],
  ["pushTime", "s", "from 2 to 98 % of the release speed"],
  ["stroke", "m", "the draw, less the extension at which the line is slack"],
  ["meanPushAcceleration", "m/s²", "speed gained in the push time"],
  ["loadFactor", "1", "(peak acceleration + g sin θ)/g, felt along the pull"],
];

const SPEED_AT = ELASTIC_RESULTS.findIndex(([name]) => name === "releaseSpeed");

const STALL_RESULTS: typeof ELASTIC_RESULTS = [
  ["stallSpeed", "m/s", "√(2 m g/(ρ S C_L)), air density from pressure and temperature"],
  ["stallMargin", "1", "airspeed at release, headwind included, over stall speed"],
];

const HELD =
  "met where the line is slack; a third of the line comes with the carriage; friction and weight that slow them left out";
const KINETIC_RESULTS: typeof ELASTIC_RESULTS = [
  ["endStopEnergy", "J", `½ m v² of carriage and line at release; ${HELD}`],
];
const STOP_RESULTS: typeof ELASTIC_RESULTS = [
  [
    "endStopEnergy",
    "J",
    `½ m v² of carriage and line at release, and downhill their weight over the buffer's travel; ${HELD}`,
  ],
  [
    "endStopMeanForce",
    "N",
    `energy over the buffer's travel, as a buffer of constant force takes it; ${HELD}`,
  ],
  ["endStopPeakForce", "N", `twice the mean, as a linear spring ends; ${HELD}`],
];

export type PredictedQuantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

type Told =
  | {
      readonly ok: true;
      readonly quantities: PredictedQuantities;
      readonly drawnInJ: Measured;
      readonly givenBackJ: Measured;
      readonly speedCovariances: Readonly<Record<string, number>>;
    }
  | { readonly ok: false; readonly input: string };

/**
 * The predicted results of a shot with first-order standard uncertainties, and the energy of the line.
 * @param bufferTravelM m, of the carriage's stop; null where it is not known
 * @returns the numbers; or the name of an input about which the model gives no prediction
 */
export function elasticQuantities(
  line: MeasuredElastic,
  bufferTravelM: Measured | null,
  { airframe, conditions }: LaunchedShot,
  joint: JointInputs | null,
): Told {
  const { wingAreaM2, liftCoefficientMax } = airframe;
  const { headwindMPerS, airPressurePa, temperatureK } = conditions;
  const pull = uncertainElastic(line);
  // The drag feels the same air: each of it is one input.
  const ofAir = [
    { name: "headwindMPerS", ...headwindMPerS },
    aboveZero("airPressurePa", airPressurePa),
    aboveZero("temperatureK", temperatureK),
  ].filter((one) => !pull.some(({ name }) => name === one.name));
  const wing: UncertainInput[] =
    wingAreaM2 && liftCoefficientMax
      ? [aboveZero("wingAreaM2", wingAreaM2), aboveZero("liftCoefficientMax", liftCoefficientMax), ...ofAir]
      : [];
  const buffer = bufferTravelM === null ? [] : [aboveZero(BUFFER, bufferTravelM)];
  const stops = stopResults(line, bufferTravelM);
  const list = [...pull, ...buffer, ...wing];
  const result = propagate(
    (values) => {
      const inputs = elasticInputsOf(line, values);
      if (elasticInputProblem(inputs)) return null;
      const run = predictElastic(inputs);
      if (!run.ok) return null;
      const at = (name: string) => values[list.findIndex((one) => one.name === name)];
      const wingAt = wing.length === 0 ? [] : STALL_INPUTS.map((name) => at(name)!);
      const stop = stopOf(inputs, run.value, at(BUFFER)).slice(0, stops.length);
      return [...resultsOf(inputs, run.value), ...stop, ...stallOf(inputs, run.value, wingAt)];
    },
    list,
    joint,
  );
  if (!result.ok) return { ok: false, input: elementAt(list, result.numbers.input ?? 0).name };
  const { values, u } = result.value;
  const bound =
    line.unloading === null ? "; loading curve in place of the unloading one: an upper bound of speed" : "";
  const basis = `elastic line model; u from the inputs, none for the model itself${bound}`;
  const pick = (i: number): Measured => ({ value: elementAt(values, i), u: elementAt(u, i) });
  const energies = ELASTIC_RESULTS.length;
  const named = (table: typeof ELASTIC_RESULTS, from: number) =>
    table.map(([name, unit, how], i): [QuantityName, Quantity] => [
      name,
      { ...pick(from + i), unit, how: `${how}; ${basis}` },
    ]);
  return {
    ok: true,
    quantities: Object.fromEntries([
      ...named(ELASTIC_RESULTS, 0),
      ...named(stops, energies + 2),
      ...(wing.length > 0 ? named(STALL_RESULTS, energies + 2 + stops.length) : []),
    ]),
    drawnInJ: pick(energies),
    givenBackJ: pick(energies + 1),
    speedCovariances: covariancesWith(result.value, list, joint, SPEED_AT),
  };
}

const BUFFER = "endStop.bufferTravelM";

/** What is told of the carriage's stop: nothing where neither a carriage nor a buffer is stated. */
function stopResults(
  { carriageKg }: MeasuredElastic,
  bufferTravelM: Measured | null,
): typeof ELASTIC_RESULTS {
  if (bufferTravelM !== null) return STOP_RESULTS;
  return carriageKg.value > 0 ? KINETIC_RESULTS : [];
}

/** J, N, N into the carriage's stop; the energy of motion alone where no buffer is known. */
function stopOf(
  inputs: ElasticInputs,
  { releaseSpeedMPerS }: ElasticPrediction,
  travelM: number | undefined,
): readonly number[] {
  const into = intoCarriageStop(inputs, releaseSpeedMPerS);
  if (travelM === undefined) return [into.kineticJ];
  const { energyJ, meanN, peakN } = endStopLoad(into, travelM);
  return [energyJ, meanN, peakN];
}

const STALL_INPUTS = [
  "wingAreaM2",
  "liftCoefficientMax",
  "headwindMPerS",
  "airPressurePa",
  "temperatureK",
] as const;

/** Stall speed and margin, out of the same draw of the inputs as the pull: the mass acts on both. */
function stallOf(
  { airframeMassKg, angleRad }: ElasticInputs,
  pull: ElasticPrediction,
  wing: readonly number[],
): readonly number[] {
  const [wingAreaM2, liftCoefficientMax, headwind, airPa, airK] = wing;
  if (airK === undefined) return [];
  const least = stallSpeed({
    massKg: airframeMassKg,
    wingAreaM2: wingAreaM2!,
    liftCoefficientMax: liftCoefficientMax!,
    airDensity: airDensity(airPa!, airK),
  });
  return [least, airspeed(pull.releaseSpeedMPerS, angleRad, headwind!) / least];
}

function resultsOf({ angleRad }: ElasticInputs, pull: ElasticPrediction): readonly number[] {
  const push = pushInterval((timeS) => pull.at(timeS).speedMPerS, 0, pull.pushS);
  return [
    pull.pushS,
    pull.releaseSpeedMPerS,
    pull.peakAccelerationMPerS2,
    angleRad,
    push.pushS,
    pull.travelM,
    push.meanMPerS2,
    pull.peakAccelerationMPerS2 / STANDARD_GRAVITY + Math.sin(angleRad),
    pull.drawnInJ,
    pull.givenBackJ,
  ];
}
