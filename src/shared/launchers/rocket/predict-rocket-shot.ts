import { modelInput } from "../../inputs/model-input.ts";
import type { PathToGround } from "../../launch/path-to-ground.ts";
import { predictRocket, type RocketRefusal } from "../../launch/rocket/predict-rocket.ts";
import { rocketCautions } from "../../launch/rocket/rocket-cautions.ts";
import { rocketInputProblem } from "../../launch/rocket/rocket-checks.ts";
import type { RocketInputs, RocketPrediction } from "../../launch/rocket/rocket-inputs.ts";
import {
  type MeasuredRocket,
  rocketInputsOf,
  rocketUncertainInputs,
} from "../../launch/rocket/rocket-measured.ts";
import { thrustCurveFault } from "../../launch/rocket/thrust-curve-csv.ts";
import { IntegrationError } from "../../numeric/integrate.ts";
import { showExact } from "../../quantity/display.ts";
import type { Unit } from "../../quantity/measured.ts";
import type { Refusal } from "../../quantity/result.ts";
import { MODEL_NOTICES } from "../../results/notices/model-notices.ts";
import { BOOST_NOTICES, CURVE_NOTICES } from "../../results/notices/push-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { Prediction, PredictionCurves, ShotPrediction, UnflownPath } from "../../results/shot-result.ts";
import { whenAsked } from "../../results/when-asked.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import type { RocketLauncher } from "../../session/schema.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import { impossibleInput, refusedPrediction } from "../refused-prediction.ts";
import { CURVES_OF_PUSH, sampledCurves, sampledStates } from "../sampled-curves.ts";
import { unflownAir } from "../unflown-air.ts";
import { rocketFlightNotices, whyNotTold } from "./rocket-flight-notices.ts";
import { unflownPath, WHERE_IT_COMES_DOWN } from "./rocket-flight-rows.ts";
import { rocketNotices, turnsOver } from "./rocket-notices.ts";
import { rocketQuantities } from "./rocket-quantities.ts";

/**
 * What the rocket boost model says of one shot: the launcher and the airframe under the shot's
 * conditions. Uncertainties are those of the inputs, taken as independent, to first order; none is added
 * for the model itself. Curves are on the clock with 0 where the cradle is left, from the first
 * ignition; positions from rest.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the airframe does
 *   not leave the cradle; cautions come with or without a prediction
 */
export function predictRocketShot(
  launcher: RocketLauncher,
  shot: LaunchedShot,
  joint: JointInputs | null = null,
): ShotPrediction {
  const { airframe } = shot;
  const cautions = rocketCautions({ ...launcher, massKg: airframe.massKg });
  const refused = (refusal: ShotNotice) => refusedPrediction(cautions, refusal);
  if (airframe.massKg === null) {
    return refused(MODEL_NOTICES["no-airframe-mass"](", with motors and booster,"));
  }
  const fault = curveFault(launcher);
  if (fault) return refused(fault);
  const { temperatureK, airPressurePa, headwindMPerS } = shot.conditions;
  const rocket: MeasuredRocket = {
    ...launcher,
    turnsOnCradle: launcher.turnsOnCradle ?? false,
    massKg: airframe.massKg,
    dragAreaM2: airframe.dragAreaM2 ?? { value: 0, u: 0 },
    pitchInertiaKgM2: airframe.pitchInertiaKgM2,
    yawInertiaKgM2: airframe.yawInertiaKgM2 ?? null,
    temperatureK,
    airPressurePa,
    headwindMPerS,
  };
  const inputs = rocketInputsOf(
    rocket,
    rocketUncertainInputs(rocket).map(({ value }) => value),
  );
  if (!inputs.ok) {
    const { motor, burnS, riseAndFallS } = inputs.numbers;
    return refused(
      BOOST_NOTICES["rocket-thrust"](
        launcher.motors[motor!]!.name,
        showExact(burnS!, "s", "SI", 3),
        showExact(riseAndFallS!, "s", "SI", 3),
      ),
    );
  }
  const problem = rocketInputProblem(inputs.value);
  if (problem) return impossibleInput(cautions, launcher.kind, problem);
  let result: ReturnType<typeof predictRocket>;
  try {
    result = predictRocket(inputs.value);
  } catch (error) {
    if (!(error instanceof IntegrationError)) throw error;
    return refused(BOOST_NOTICES["rocket-not-followed"]());
  }
  if (!result.ok) return refused(refusalOf(result));
  const found = rocketQuantities(shot, rocket, { inputs: inputs.value, run: result.value }, joint);
  if (!found.ok) {
    return refused(
      MODEL_NOTICES["uncertainty-unknown"](
        `with a small change of ${modelInput(launcher.kind, found.input).words} the airframe does not leave the cradle`,
        "The boost is at the edge of what the cradle allows",
      ),
    );
  }
  const { quantities, turning } = found.value;
  const { crosswindMPerS, releaseHeightM } = unflownAir(shot.conditions);
  const [boost, run] = [inputs.value, result.value];
  const path = unflownPath(boost, run, crosswindMPerS.value, releaseHeightM.value);
  const notTold = whyNotTold(quantities.stabilityMargin ?? null, turnsOver(turning));
  return {
    prediction: {
      quantities: notTold === null ? quantities : withoutPlace(quantities),
      curves: curvesOf(boost, run),
      storedEnergyJ: null,
      ...(path !== null && notTold === null && { path: drawnPath(path) }),
    },
    notices: [
      ...rocketNotices(rocket, shot, run, found.value),
      ...rocketFlightNotices(shot, found.value, { boost, run, path }, notTold),
      ...cautions,
    ],
  };
}

function withoutPlace(quantities: Prediction["quantities"]): Prediction["quantities"] {
  const kept = Object.entries(quantities).filter(
    ([name]) => !WHERE_IT_COMES_DOWN.some((one) => one === name),
  );
  return Object.fromEntries(kept);
}

const PATH_POINTS = 121;

function drawnPath(path: PathToGround): UnflownPath {
  const points = path.sampled(PATH_POINTS);
  return {
    aheadM: points.map(({ x }) => x),
    heightM: points.map(({ y }) => y),
    top: { aheadM: path.top.x, heightM: path.top.y },
  };
}

/** What is wrong with the first thrust curve that will not do, naming its motor. */
function curveFault({ motors }: RocketLauncher): ShotNotice | null {
  for (const { name, thrust } of motors) {
    if (thrust.by !== "curve") continue;
    const fault = thrustCurveFault(thrust.points, (at) => `Motor “${name}”: point ${at + 1}`);
    if (fault) return CURVE_NOTICES[`rocket-${fault.code}`](fault);
  }
  return null;
}

function curvesOf({ railM, angleRad }: RocketInputs, { leaving, at }: RocketPrediction): PredictionCurves {
  const pitches = leaving.pitchRad !== null;
  return whenAsked<PredictionCurves>(
    [...CURVES_OF_PUSH, ...(pitches ? (["pitch", "pitchRate"] as const) : [])],
    () => {
      const states = sampledStates(at, leaving.timeS);
      return {
        ...sampledCurves(states, leaving.timeS, railM),
        ...(pitches && {
          pitch: states.map(({ pitchRad }) => angleRad + (pitchRad ?? 0)),
          pitchRate: states.map(({ pitchRateRadPerS }) => pitchRateRadPerS ?? 0),
        }),
      };
    },
  );
}

function refusalOf({ code, numbers }: Refusal<RocketRefusal>): ShotNotice {
  const shown = (value: number | undefined, unit: Unit) => showExact(value!, unit, "SI", 3);
  switch (code) {
    case "no-motor-lit":
      return BOOST_NOTICES["rocket-no-motor-lit"]();
    case "never-lifts-off":
      return BOOST_NOTICES["rocket-never-lifts-off"](
        shown(numbers.thrustN, "N"),
        shown(numbers.neededN, "N"),
      );
    case "never-leaves":
      return BOOST_NOTICES["rocket-never-leaves"](shown(numbers.positionM, "m"), shown(numbers.railM, "m"));
    case "turns-over-on-cradle":
      return BOOST_NOTICES["rocket-turns-over"](shown(numbers.turnedRad, "rad"), shown(numbers.timeS, "s"));
    case "separates-on-cradle":
      return BOOST_NOTICES["rocket-separates-on-cradle"](
        shown(numbers.timeS, "s"),
        shown(numbers.positionM, "m"),
      );
  }
}
