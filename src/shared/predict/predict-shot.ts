import { launcherModel, modelOf } from "../launchers/launcher-models.ts";
import { refusedPrediction } from "../launchers/refused-prediction.ts";
import { IntegrationError } from "../numeric/integrate.ts";
import { withinBudget } from "../numeric/work-budget.ts";
import { inputNotices, isImpossible } from "../results/input-notices.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";
import { oddestInput, predictionFaults } from "../session/input-faults.ts";
import type { Session, Shot } from "../session/schema.ts";
import { afterRelease } from "./after-release.ts";
import { launcherInUse, tuningFault } from "./launcher-in-use.ts";

/** A prediction takes 10 to 50 thousand evaluations; what takes a hundred times that comes of a slip in an input. */
const MOST_EVALUATIONS = 3e6;

/**
 * What the session's launch model says of one shot, by the kind of the launcher, and of the flight that follows. A throw by hand has no
 * model: neither prediction nor refusal. Tuned values are used where the session says so. Odd inputs are noticed.
 * @param allowed evaluations of the model, as withinBudget counts them
 * @returns prediction null with a refusal notice where an input is missing or impossible, or the model takes more work than it may
 */
export function predictShot(
  session: Session,
  shot: Shot,
  allowed: number = MOST_EVALUATIONS,
): ShotPrediction {
  // Tuned values that do not fit the launcher cannot be held against its inputs: what is wrong with them is told first.
  const fits = tuningFault(session) === null;
  const faults = predictionFaults(session, shot).filter(({ path }) => fits || path[0] !== "tuning");
  const told = inputNotices(faults);
  if (faults.some(isImpossible)) return { prediction: null, notices: [...told, ...plainCautions(session)] };
  const worked = withinBudget({ evaluations: allowed }, () => predictWithin(session, shot));
  const { prediction, notices } = worked.ok ? worked.value : tooMuchWork(session, shot);
  return { prediction, notices: [...told, ...notices] };
}

function predictWithin(session: Session, shot: Shot): ShotPrediction {
  let push: ShotPrediction;
  try {
    push = predictPush(session, shot);
  } catch (error) {
    if (error instanceof IntegrationError) return tooMuchWork(session, shot);
    throw error;
  }
  if (push.prediction === null) return push;
  const after = afterRelease(session, shot, push.prediction.quantities, "predicted");
  return {
    prediction: {
      ...push.prediction,
      quantities: { ...push.prediction.quantities, ...after.quantities },
    },
    notices: [...after.notices, ...push.notices],
  };
}

function predictPush(session: Session, shot: Shot): ShotPrediction {
  const fault = tuningFault(session);
  if (fault !== null) return refusedPrediction(cautionsOf(session, shot), fault);
  const { launcher, joint } = launcherInUse(session);
  if (launcher === null) return refusedPrediction([], MODEL_NOTICES["no-launcher"]());
  const { push } = launcherModel(launcher);
  return push?.predict(session, shot, launcher, joint) ?? { prediction: null, notices: [] };
}

/** The model cannot be followed to its end: the input farthest from what is usual is named, as the likeliest cause. */
function tooMuchWork(session: Session, shot: Shot): ShotPrediction {
  const refusal = MODEL_NOTICES["too-much-work"]("prediction", oddestInput(session, shot));
  return refusedPrediction(plainCautions(session), refusal);
}

/** The cautions of a launcher's kind without its numbers, where those are not to be trusted. */
function plainCautions({ launcher, units }: Session): readonly ShotNotice[] {
  return modelOf(launcher)?.cautions.ofKind(units) ?? [];
}

/** What the launcher calls for where its tuned values cannot be used. */
function cautionsOf(session: Session, shot: Shot): readonly ShotNotice[] {
  const { launcher } = session;
  return launcher === null ? [] : launcherModel(launcher).cautions.ofShot(session, shot, launcher);
}
