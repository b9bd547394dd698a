import { modelInput } from "../inputs/model-input.ts";
import { IntegrationError } from "../launch/integrate.ts";
import type { JointInputs } from "../launch/joint-inputs.ts";
import { predictRocket, type RocketRefusal } from "../launch/predict-rocket.ts";
import { rocketCautions } from "../launch/rocket-cautions.ts";
import { rocketInputProblem } from "../launch/rocket-checks.ts";
import type { RocketInputs, RocketPrediction } from "../launch/rocket-inputs.ts";
import { type MeasuredRocket, rocketInputsOf, rocketUncertainInputs } from "../launch/rocket-measured.ts";
import { thrustCurveFault } from "../launch/thrust-curve-csv.ts";
import { showExact } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { RocketLauncher, Session, Shot } from "../session/schema.ts";
import { impossibleInput, refusedPrediction } from "./refused-prediction.ts";
import { rocketNotices } from "./rocket-notices.ts";
import { rocketQuantities } from "./rocket-quantities.ts";
import { sampledCurves, sampledStates } from "./sampled-curves.ts";
import type { PredictionCurves, ShotPrediction } from "./shot-result.ts";

/**
 * What the rocket boost model says of one shot: the launcher and the session's airframe under the shot's conditions.
 * Uncertainties are those of the inputs, taken as independent, to first order; none is added for the model itself.
 * Curves are on the clock with 0 where the cradle is left, from the first ignition; positions from rest.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the airframe does not leave the cradle;
 * cautions come with or without a prediction
 */
export function predictRocketShot(
  session: Session,
  shot: Shot,
  launcher: RocketLauncher,
  joint: JointInputs | null = null,
): ShotPrediction {
  const { airframe } = session;
  const cautions = rocketCautions({ ...launcher, massKg: airframe.massKg });
  const refused = (code: string, cause: string, remedy: string) =>
    refusedPrediction(cautions, code, cause, remedy);
  if (airframe.massKg === null) {
    return refused(
      "no-airframe-mass",
      "The mass of the airframe is not known.",
      "Weigh it ready to fly, with motors and booster, and enter the mass.",
    );
  }
  const fault = curveFault(launcher);
  if (fault) return { prediction: null, notices: [fault, ...cautions] };
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
      "rocket-thrust",
      `Motor “${launcher.motors[motor!]!.name}” burns ${showExact(burnS!, "s", "SI", 3)} (impulse over mean thrust), but rise and fall together take ${showExact(riseAndFallS!, "s", "SI", 3)}.`,
      "Shorten rise or fall, or check impulse and mean thrust.",
    );
  }
  const problem = rocketInputProblem(inputs.value);
  if (problem) return impossibleInput(cautions, launcher.kind, problem);
  let result: ReturnType<typeof predictRocket>;
  try {
    result = predictRocket(inputs.value);
  } catch (error) {
    if (!(error instanceof IntegrationError)) throw error;
    return refused(
      "rocket-not-followed",
      "The boost changes faster than the model can follow.",
      "Check mass, drag area and thrust curves for a slip of the decimal point.",
    );
  }
  if (!result.ok) return refused(...wordsOf(result));
  const found = rocketQuantities(airframe, rocket, result.value, joint);
  if (!found.ok) {
    return refused(
      "uncertainty-unknown",
      `The uncertainty of the prediction cannot be found: with a small change of ${modelInput(launcher.kind, found.input).words} the airframe does not leave the cradle.`,
      "The boost is at the edge of what the cradle allows; check that input.",
    );
  }
  return {
    prediction: {
      quantities: found.value.quantities,
      curves: curvesOf(inputs.value, result.value),
      storedEnergyJ: null,
    },
    notices: [...rocketNotices(session, rocket, result.value, found.value), ...cautions],
  };
}

/** What is wrong with the first thrust curve that will not do, naming its motor. */
function curveFault({ motors }: RocketLauncher): Notice | null {
  for (const { name, thrust } of motors) {
    if (thrust.by !== "curve") continue;
    const fault = thrustCurveFault(thrust.points, (at) => `Motor “${name}”: point ${at + 1}`);
    if (fault) return { level: "refusal", ...fault, code: `rocket-${fault.code}` };
  }
  return null;
}

function curvesOf({ railM, angleRad }: RocketInputs, { leaving, at }: RocketPrediction): PredictionCurves {
  const states = sampledStates(at, leaving.timeS);
  return {
    ...sampledCurves(states, leaving.timeS, railM),
    ...(leaving.pitchRad !== null && {
      pitch: states.map(({ pitchRad }) => angleRad + (pitchRad ?? 0)),
      pitchRate: states.map(({ pitchRateRadPerS }) => pitchRateRadPerS ?? 0),
    }),
  };
}

function wordsOf({ code, numbers }: Refusal<RocketRefusal>): [code: string, cause: string, remedy: string] {
  switch (code) {
    case "no-motor-lit":
      return [
        "rocket-no-motor-lit",
        "No motor is lit, so nothing pushes.",
        "Mark at least one motor as lit.",
      ];
    case "never-lifts-off":
      return [
        "rocket-never-lifts-off",
        `The airframe never lifts off: the thrust along the cradle reaches ${showExact(numbers.thrustN!, "N", "SI", 3)} where weight, drag and friction hold ${showExact(numbers.neededN!, "N", "SI", 3)}.`,
        "Check thrust curves, mass, angle of the cradle and friction.",
      ];
    case "never-leaves":
      return [
        "rocket-never-leaves",
        `The airframe comes to rest after ${showExact(numbers.positionM!, "m", "SI", 3)} of its ${showExact(numbers.railM!, "m", "SI", 3)} along the cradle.`,
        "Check thrust curves, delays, mass, angle of the cradle and friction.",
      ];
    case "separates-on-cradle":
      return [
        "rocket-separates-on-cradle",
        `The ejection charge parts the booster after ${showExact(numbers.timeS!, "s", "SI", 3)}, while the airframe is still on the cradle at ${showExact(numbers.positionM!, "m", "SI", 3)}.`,
        "Check ignition delays and the time to the ejection charge.",
      ];
  }
}
