import type { Session, Shot } from "../session/schema.ts";
import { afterRelease } from "./after-release.ts";
import { launcherInUse } from "./launcher-in-use.ts";
import { predictElasticShot } from "./predict-elastic-shot.ts";
import { predictRamShot } from "./predict-ram-shot.ts";
import { predictRocketShot } from "./predict-rocket-shot.ts";
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
  const { launcher, joint } = launcherInUse(session);
  switch (launcher?.kind) {
    case undefined:
      return {
        prediction: null,
        notices: [
          {
            level: "refusal",
            code: "no-launcher",
            cause: "There is no launcher in the session.",
            remedy: "Describe the launcher under Model.",
          },
        ],
      };
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
