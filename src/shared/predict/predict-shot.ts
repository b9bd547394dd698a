import { guessesIn, guessWords } from "../launchers/guesses.ts";
import type { PredictedExtent } from "../launchers/launcher-kind-model.ts";
import { launcherModel, modelOf } from "../launchers/launcher-models.ts";
import { refusedPrediction } from "../launchers/refused-prediction.ts";
import { IntegrationError } from "../numeric/integrate.ts";
import { withinBudget } from "../numeric/work-budget.ts";
import { inputNotices, isImpossible } from "../results/input-notices.ts";
import { GUESS_NOTICES, MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";
import { oddestInput, predictionFaults } from "../session/input-faults.ts";
import { type LaunchInputs, launchInputs } from "../session/launch-inputs.ts";
import type { Session, Shot } from "../session/schema.ts";
import { afterRelease } from "./after-release.ts";
import { widenedBeyond } from "./beyond-tested.ts";
import { launcherInUse, tuningFault } from "./launcher-in-use.ts";
import { widenedByRivals } from "./rival-answers.ts";

/**
 * A prediction takes 10 to 50 thousand evaluations; what takes a hundred times that
 * comes of a slip in an input.
 */
const MOST_EVALUATIONS = 3e6;

/** What the session's launch model says of one shot, as predictLaunch does. */
export function predictShot(session: Session, shot: Shot, allowed?: number): ShotPrediction {
  return predictLaunch(launchInputs(session, shot), "whole", allowed);
}

/**
 * What the launch model says of a launch, by the kind of the launcher, and of the flight that follows. A
 * throw by hand has no model: neither prediction nor refusal. Tuned values are used where the document says
 * so. Odd inputs are noticed.
 * @param extent whether what the model can tell beside the shot itself is worked out too
 * @param allowed evaluations of the model, as withinBudget counts them
 * @returns prediction null with a refusal notice where an input is missing or impossible, or the model
 *   takes more work than it may
 */
export function predictLaunch(
  launch: LaunchInputs,
  extent: PredictedExtent = "whole",
  allowed: number = MOST_EVALUATIONS,
): ShotPrediction {
  // Tuned values that do not fit the launcher cannot be held against its inputs: what is wrong
  // with them is told first.
  const fits = tuningFault(launch) === null;
  const faults = predictionFaults(launch).filter(({ path }) => fits || path[0] !== "tuning");
  const told = inputNotices(faults);
  if (faults.some(isImpossible)) return { prediction: null, notices: [...told, ...plainCautions(launch)] };
  const worked = withinBudget({ evaluations: allowed }, () => predictWithin(launch, extent));
  const { prediction, notices } = worked.ok ? worked.value : tooMuchWork(launch);
  return { prediction, notices: [...told, ...(fits ? guessNotices(launch) : []), ...notices] };
}

/** Which inputs of the launcher, as it is predicted with, are guesses of the program still. */
function guessNotices(launch: LaunchInputs): readonly ShotNotice[] {
  const { launcher } = launcherInUse(launch);
  const guessed = launcher === null ? [] : guessWords(launcher, guessesIn(launcher));
  return guessed.length === 0 ? [] : [GUESS_NOTICES["launcher-guessed"](guessed)];
}

function predictWithin(launch: LaunchInputs, extent: PredictedExtent): ShotPrediction {
  let push: ShotPrediction;
  try {
    push = widenedByRivals(widenedBeyond(predictPush(launch, extent), launch), launch);
  } catch (error) {
    if (error instanceof IntegrationError) return tooMuchWork(launch);
    throw error;
  }
  if (push.prediction === null) return push;
  const after = afterRelease(
    launch.launcher,
    launch,
    push.prediction.quantities,
    "predicted",
    push.speedCovariances,
  );
  return {
    prediction: {
      ...push.prediction,
      quantities: { ...push.prediction.quantities, ...after.quantities },
    },
    notices: [...after.notices, ...push.notices],
  };
}

function predictPush(launch: LaunchInputs, extent: PredictedExtent): ShotPrediction {
  const fault = tuningFault(launch);
  if (fault !== null) return refusedPrediction(cautionsOf(launch), fault);
  const { launcher, joint } = launcherInUse(launch);
  if (launcher === null) return refusedPrediction([], MODEL_NOTICES["no-launcher"]());
  const { push } = launcherModel(launcher);
  return push?.predict(launcher, launch, joint, extent) ?? { prediction: null, notices: [] };
}

/**
 * The model cannot be followed to its end: the input farthest from what is usual is
 * named, as the likeliest cause.
 */
function tooMuchWork(launch: LaunchInputs): ShotPrediction {
  const refusal = MODEL_NOTICES["too-much-work"]("prediction", oddestInput(launch));
  return refusedPrediction(plainCautions(launch), refusal);
}

/** The cautions of a launcher's kind without its numbers, where those are not to be trusted. */
function plainCautions({ launcher, units }: LaunchInputs): readonly ShotNotice[] {
  return modelOf(launcher)?.cautions.ofKind(units) ?? [];
}

/** What the launcher calls for where its tuned values cannot be used. */
function cautionsOf(launch: LaunchInputs): readonly ShotNotice[] {
  const { launcher } = launch;
  return launcher === null ? [] : launcherModel(launcher).cautions.ofShot(launcher, launch);
}
