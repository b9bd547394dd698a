import { launcherModel } from "../launchers/launcher-models.ts";
import type { TunableOfShot } from "../launchers/tunable-model.ts";
import { asFault } from "../quantity/notice.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { Session, Shot } from "../session/schema.ts";

/** @returns the model of the session's launcher under the shot's conditions; a fault when an input that it needs is not known */
export function tunableOfShot(session: Session, shot: Shot): TunableOfShot {
  const { launcher, airframe } = session;
  const push = launcher && launcherModel(launcher).push;
  if (push === null) {
    return {
      ok: false,
      fault: {
        ...asFault(MODEL_NOTICES["no-launcher"]()),
        cause: "There is no launcher with a model in the session, so there is nothing to tune.",
      },
    };
  }
  const { massKg } = airframe;
  if (massKg === null) return { ok: false, fault: asFault(MODEL_NOTICES["no-airframe-mass"]()) };
  return push.tunable(session, shot, launcher!, massKg);
}
