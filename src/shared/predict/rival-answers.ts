import { launcherModel } from "../launchers/launcher-models.ts";
import { showMeasured } from "../quantity/display.ts";
import { TUNED_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import type { Launcher } from "../session/schema.ts";
import { widenedBy } from "./beyond-tested.ts";
import { launcherInUse, rivalLaunchers } from "./launcher-in-use.ts";

/**
 * A prediction by tuned values of which there are separate answers, with what the others give and an
 * uncertainty that holds them: each is as likely as the one it is made with, so that the root mean square of
 * their differences from it is added; unchanged where the tuning has one answer.
 */
export function widenedByRivals(push: ShotPrediction, launch: LaunchInputs): ShotPrediction {
  const { prediction } = push;
  const rivals = rivalLaunchers(launch);
  const speed = prediction?.quantities.releaseSpeed;
  if (prediction === null || speed === undefined || rivals.length === 0) return push;
  const { launcher } = launcherInUse(launch);
  const own = launcher === null ? null : speedOf(launcher, launch);
  const shares = rivals.map((rival) => {
    const other = speedOf(rival, launch);
    return own === null || other === null ? null : other / own - 1;
  });
  const known = shares.filter((share) => share !== null);
  const relative = Math.sqrt(known.reduce((sum, share) => sum + share ** 2, 0) / (1 + known.length));
  const says = shares.map((share) =>
    share === null
      ? "no launch"
      : showMeasured({ value: (1 + share) * speed.value, u: speed.u }, "m/s", launch.units).text,
  );
  return {
    ...push,
    prediction: widenedBy(prediction, relative),
    notices: [TUNED_NOTICES["other-answers"](says), ...push.notices],
  };
}

/** m/s, where the push ends, of a launcher without uncertainties; null where it gives no launch. */
function speedOf(launcher: Launcher, { airframe, conditions }: LaunchInputs): number | null {
  const { massKg } = airframe;
  const { push } = launcherModel(launcher);
  if (push === null || massKg === null) return null;
  const told = push.tunable(launcher, { id: "", airframe, massKg, conditions });
  if (!told.ok) return null;
  return told.model.predict(told.model.inputs.map(({ value }) => value))?.exitSpeedMPerS ?? null;
}
