import { elasticCautions } from "../launch/elastic-cautions.ts";
import { rocketCautions } from "../launch/rocket-cautions.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Session, Shot } from "../session/schema.ts";
import { afterRelease } from "./after-release.ts";
import { launcherInUse, tuningFault } from "./launcher-in-use.ts";
import { predictElasticShot } from "./predict-elastic-shot.ts";
import { predictRamShot, ramShotCautions } from "./predict-ram-shot.ts";
import { predictRocketShot } from "./predict-rocket-shot.ts";
import { refusedPrediction } from "./refused-prediction.ts";
import type { ShotPrediction } from "./shot-result.ts";

/**
 * What the session's launch model says of one shot, by the kind of the launcher, and of the flight that follows. A throw by hand has no
 * model: neither prediction nor refusal. Tuned values are used where the session says so.
 * @returns prediction null with a refusal notice where an input is missing or impossible
 */
export function predictShot(session: Session, shot: Shot): ShotPrediction {
  const push = predictPush(session, shot);
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
  if (fault !== null) {
    return refusedPrediction(cautionsOf(session, shot), fault.code, fault.cause, fault.remedy);
  }
  const { launcher, joint } = launcherInUse(session);
  switch (launcher?.kind) {
    case undefined:
      return refusedPrediction(
        [],
        "no-launcher",
        "There is no launcher in the session.",
        "Describe the launcher under Model.",
      );
    case "compressed-air-ram":
      return predictRamShot(session, shot, launcher, joint);
    case "rocket-boost":
      return predictRocketShot(session, shot, launcher, joint);
    case "elastic-line":
      return predictElasticShot(session, shot, launcher, joint);
    case "no-model":
      return { prediction: null, notices: [] };
  }
}

/** What the launcher calls for where its tuned values cannot be used. */
function cautionsOf(session: Session, shot: Shot): readonly Notice[] {
  const { launcher, airframe, units } = session;
  switch (launcher?.kind) {
    case "compressed-air-ram":
      return ramShotCautions(session, shot, launcher);
    case "rocket-boost":
      return rocketCautions({ ...launcher, massKg: airframe.massKg });
    case "elastic-line":
      return elasticCautions(null, units);
    default:
      return [];
  }
}
