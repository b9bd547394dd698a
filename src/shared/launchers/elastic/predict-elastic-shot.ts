import { modelInput } from "../../inputs/model-input.ts";
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
import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import { lastOf } from "../../quantity/known-element.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import type { Refusal } from "../../quantity/result.ts";
import { MODEL_NOTICES } from "../../results/notices/model-notices.ts";
import { PUSH_NOTICES, TABLE_NOTICES } from "../../results/notices/push-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { PredictionCurves, ShotPrediction } from "../../results/shot-result.ts";
import { whenAsked } from "../../results/when-asked.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { Airframe, Conditions, ElasticLauncher } from "../../session/schema.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { dragLeftOut } from "../drag-left-out.ts";
import { marginNotices } from "../margin-notices.ts";
import { impossibleInput, refusedPrediction } from "../refused-prediction.ts";
import { CURVES_OF_PUSH, sampledCurves, sampledStates } from "../sampled-curves.ts";
import { elasticQuantities, type PredictedQuantities } from "./elastic-quantities.ts";
import { carriageStopNotices, lineLoadNotices, lineLoads } from "./line-limits.ts";

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
  const cautions = elasticShotCautions(launcher, units);
  if (airframe.massKg === null) {
    return refusedPrediction(cautions, MODEL_NOTICES["no-airframe-mass"]());
  }
  const line = loadedLine(launcher, airframe, airframe.massKg, shot.conditions);
  const problem = elasticInputProblem(nominal(line));
  if (problem) return impossibleInput(cautions, launcher.kind, problem);
  const result = predictElastic(nominal(line));
  if (!result.ok) return notLaunched(cautions, result, units);
  const told = elasticQuantities(line, launcher.endStop?.bufferTravelM ?? null, shot, joint);
  if (!told.ok) {
    return refusedPrediction(
      cautions,
      MODEL_NOTICES["uncertainty-unknown"](
        `a small change of ${modelInput(launcher.kind, told.input).words} keeps the line from pulling the airframe through`,
        "The launcher is at the edge of what it can pull",
      ),
    );
  }
  const { drawnInJ, givenBackJ, speedCovariances } = told;
  const quantities = { ...told.quantities, ...lineLoads(launcher) };
  const { at, pushS, travelM } = result.value;
  return {
    prediction: {
      quantities,
      curves: whenAsked<PredictionCurves>(CURVES_OF_PUSH, () =>
        sampledCurves(sampledStates(at, pushS), pushS, travelM),
      ),
      storedEnergyJ: givenBackJ,
    },
    speedCovariances,
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...tableNotices(launcher, drawnInJ, givenBackJ, units),
      ...coarseTable(line, result.value),
      ...dragLeftOut(shot, travelM, result.value.movingMassKg),
      ...stopNotices(launcher, quantities, units),
      ...elasticShotCautions(launcher, units, givenBackJ),
    ],
  };
}

/**
 * What a shot of this line calls for whether it can be predicted or not: the loads of its draw, the line
 * itself, its carriage, the people down range.
 * @param energyJ J, given back by the line; null when it cannot be computed
 */
export function elasticShotCautions(
  launcher: ElasticLauncher,
  units: UnitSet,
  energyJ: Measured | null = null,
): readonly ShotNotice[] {
  return [
    ...lineLoadNotices(launcher, units),
    ...elasticCautions(energyJ, launcher.carriageKg.value > 0, units),
  ];
}

/** The carriage's stop held against the rating of its weakest joint, where its buffer is known. */
function stopNotices(
  { endStop }: ElasticLauncher,
  { endStopEnergy, endStopMeanForce, endStopPeakForce }: PredictedQuantities,
  units: UnitSet,
): readonly ShotNotice[] {
  if (!endStop || !endStopEnergy || !endStopMeanForce || !endStopPeakForce) return [];
  const facts = { energyJ: endStopEnergy, meanN: endStopMeanForce, peakN: endStopPeakForce };
  return carriageStopNotices({ ...facts, ratedLoadN: endStop.ratedLoadN }, units);
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
