import { modelInput } from "../../inputs/model-input.ts";
import { airDensity } from "../../launch/air.ts";
import { elasticCautions } from "../../launch/elastic/elastic-cautions.ts";
import { energyByLines } from "../../launch/elastic/elastic-curve.ts";
import {
  type ElasticInputs,
  elasticInputProblem,
  elasticInputsOf,
  type MeasuredElastic,
  uncertainElastic,
} from "../../launch/elastic/elastic-inputs.ts";
import {
  type ElasticPrediction,
  type ElasticRefusal,
  predictElastic,
} from "../../launch/elastic/predict-elastic.ts";
import { airspeed, stallSpeed } from "../../launch/stall.ts";
import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { elementAt, lastOf } from "../../quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import { pushInterval } from "../../quantity/push-interval.ts";
import type { Refusal } from "../../quantity/result.ts";
import { MODEL_NOTICES, PUSH_NOTICES, TABLE_NOTICES } from "../../results/notices/model-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { QuantityName, ShotPrediction } from "../../results/shot-result.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { Airframe, Conditions, ElasticLauncher } from "../../session/schema.ts";
import { covariancesWith } from "../../uncertainty/covariances-with.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { aboveZero, propagate, type UncertainInput } from "../../uncertainty/propagate.ts";
import { dragLeftOut } from "../drag-left-out.ts";
import { marginNotices } from "../margin-notices.ts";
import { impossibleInput, refusedPrediction } from "../refused-prediction.ts";
import { sampledCurves, sampledStates } from "../sampled-curves.ts";

// drawn to less than this share of the unloading table, its curve is that of another draw
const PART_DRAW = 0.95;

/**
 * What the elastic-line model says of one shot: the line and the airframe. Uncertainties are those of the
 * inputs, taken as independent, to first order; none is added for the model itself. Curves are on the clock
 * with 0 at release, from letting go.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the line does not
 * pull the airframe through; cautions come with or without a prediction
 */
export function predictElasticShot(
  launcher: ElasticLauncher,
  shot: LaunchedShot,
  joint: JointInputs | null = null,
): ShotPrediction {
  const { airframe, units } = shot;
  if (airframe.massKg === null) {
    return refusedPrediction(elasticCautions(null, units), MODEL_NOTICES["no-airframe-mass"]());
  }
  const line = loadedLine(launcher, airframe, airframe.massKg, shot.conditions);
  const problem = elasticInputProblem(nominal(line));
  if (problem) return impossibleInput(elasticCautions(null, units), launcher.kind, problem);
  const result = predictElastic(nominal(line));
  if (!result.ok) return notLaunched(elasticCautions(null, units), result, units);
  const told = quantitiesOf(line, shot, joint);
  if (!told.ok) {
    return refusedPrediction(
      elasticCautions(null, units),
      MODEL_NOTICES["uncertainty-unknown"](
        `a small change of ${modelInput(launcher.kind, told.input).words} keeps the line from pulling the airframe through`,
        "The launcher is at the edge of what it can pull",
      ),
    );
  }
  const { quantities, drawnInJ, givenBackJ, speedCovariances } = told;
  const { at, pushS, travelM } = result.value;
  return {
    prediction: {
      quantities,
      curves: sampledCurves(sampledStates(at, pushS), pushS, travelM),
      storedEnergyJ: givenBackJ,
    },
    speedCovariances,
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...tableNotices(launcher, drawnInJ, givenBackJ, units),
      ...coarseTable(line, result.value),
      ...dragLeftOut(shot, travelM, result.value.movingMassKg),
      ...elasticCautions(givenBackJ, units),
    ],
  };
}

/** A line with what a shot brings along: the airframe, and the air where its drag is known. */
export function loadedLine(
  launcher: ElasticLauncher,
  { dragAreaM2 }: Pick<Airframe, "dragAreaM2">,
  airframeMassKg: Measured,
  { airPressurePa, temperatureK, headwindMPerS }: Omit<Conditions, "gaugePressurePa">,
): MeasuredElastic {
  const air = dragAreaM2 ? { dragAreaM2, airPressurePa, temperatureK, headwindMPerS } : undefined;
  return { ...launcher, airframeMassKg, air };
}

function nominal(line: MeasuredElastic): ElasticInputs {
  return elasticInputsOf(
    line,
    uncertainElastic(line).map(({ value }) => value),
  );
}

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

type Told =
  | {
      readonly ok: true;
      readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
      readonly drawnInJ: Measured;
      readonly givenBackJ: Measured;
      readonly speedCovariances: Readonly<Record<string, number>>;
    }
  | { readonly ok: false; readonly input: string };

function quantitiesOf(
  line: MeasuredElastic,
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
  const list = [...pull, ...wing];
  const result = propagate(
    (values) => {
      const inputs = elasticInputsOf(line, values);
      if (elasticInputProblem(inputs)) return null;
      const run = predictElastic(inputs);
      if (!run.ok) return null;
      const at = (name: string) => values[list.findIndex((one) => one.name === name)];
      const wingAt = wing.length === 0 ? [] : STALL_INPUTS.map((name) => at(name)!);
      return [...resultsOf(inputs, run.value), ...stallOf(inputs, run.value, wingAt)];
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
      ...(wing.length > 0 ? named(STALL_RESULTS, energies + 2) : []),
    ]),
    drawnInJ: pick(energies),
    givenBackJ: pick(energies + 1),
    speedCovariances: covariancesWith(result.value, list, joint, SPEED_AT),
  };
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

const COARSE = 0.005; // of the release speed

/** What is not known between the points of the table: a smooth curve through them, or straight lines. */
function coarseTable(
  line: MeasuredElastic,
  { givenBackJ, releaseSpeedMPerS, movingMassKg }: ElasticPrediction,
) {
  const { drawM, unloading, loading, lines, forceScale } = nominal(line);
  const table = unloading ?? loading;
  const straightJ = lines * forceScale * energyByLines(table, drawM);
  const speed = releaseSpeedMPerS ** 2 + (2 * (straightJ - givenBackJ)) / movingMassKg;
  const share = Math.sqrt(Math.max(0, speed)) / releaseSpeedMPerS - 1;
  if (Math.abs(share) < COARSE) return [];
  const percent = (100 * Math.abs(share)).toPrecision(2);
  return [TABLE_NOTICES["elastic-coarse-table"](table.length, percent, share < 0)];
}

/** What the tables say of the energy, and what they do not say. */
function tableNotices(
  { unloading, drawM }: ElasticLauncher,
  drawnInJ: Measured,
  givenBackJ: Measured,
  units: UnitSet,
): readonly ShotNotice[] {
  const energy = (one: Measured) => showMeasured(one, "J", units).text;
  if (unloading === null) return [PUSH_NOTICES["elastic-no-unloading"](energy(drawnInJ))];
  const lost = Math.round(100 * (1 - givenBackJ.value / drawnInJ.value));
  const last = lastOf(unloading)[0];
  return [
    TABLE_NOTICES["elastic-energy"](energy(drawnInJ), energy(givenBackJ), lost),
    ...(drawM.value < PART_DRAW * last
      ? [TABLE_NOTICES["elastic-longer-draw"](showExact(last, "m", units))]
      : []),
  ];
}

function notLaunched(
  cautions: readonly ShotNotice[],
  { code, numbers }: Refusal<ElasticRefusal>,
  units: UnitSet,
): ShotPrediction {
  const exact = (value: number | undefined, unit: Unit) => showExact(value!, unit, units, 3);
  switch (code) {
    case "never-moves":
      return refusedPrediction(
        cautions,
        PUSH_NOTICES[code]("line", exact(numbers.forceN, "N"), exact(numbers.neededN, "N")),
      );
    case "stops":
      return refusedPrediction(
        cautions,
        PUSH_NOTICES.stalls({
          by: "line",
          at: exact(numbers.positionM, "m"),
          of: exact(numbers.travelM, "m"),
        }),
      );
    case "gives-back-more":
      return refusedPrediction(
        cautions,
        PUSH_NOTICES["elastic-gives-back-more"](exact(numbers.givenBackJ, "J"), exact(numbers.drawnInJ, "J")),
      );
  }
}
