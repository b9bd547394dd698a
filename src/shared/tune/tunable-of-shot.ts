import { modelOf } from "../launchers/launcher-models.ts";
import type { TunableOfShot } from "../launchers/tunable-model.ts";
import { asFault, type Fault } from "../quantity/notice.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { Airframe, Launcher, Shot } from "../session/schema.ts";

/** Why a launcher cannot be tuned that is not described, or that no model describes. */
export const NOTHING_TO_TUNE: Fault = asFault(
  MODEL_NOTICES["no-launcher"](
    "There is no launcher with a model in the session, so there is nothing to tune.",
  ),
);

/** @returns the launcher's model under the shot's conditions; a fault where an input is not known yet */
export function tunableOfShot(
  launcher: Launcher | null,
  airframe: Airframe,
  { id, conditions }: Pick<Shot, "id" | "conditions">,
): TunableOfShot {
  const push = modelOf(launcher)?.push ?? null;
  if (launcher === null || push === null) return { ok: false, fault: NOTHING_TO_TUNE };
  const { massKg } = airframe;
  if (massKg === null) return { ok: false, fault: asFault(MODEL_NOTICES["no-airframe-mass"]()) };
  return push.tunable(launcher, { id, airframe, massKg, conditions });
}
