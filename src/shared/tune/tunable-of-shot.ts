import { asFault, type Fault } from "../quantity/notice.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { Session, Shot } from "../session/schema.ts";
import { elasticTunable } from "./elastic-tunable.ts";
import { ramTunable } from "./ram-tunable.ts";
import { rocketTunable } from "./rocket-tunable.ts";
import type { TunableModel } from "./tunable-model.ts";

/** The launch model of one shot with the launcher as stated, or why there is none. */
export type TunableOfShot =
  | { readonly ok: true; readonly model: TunableModel }
  | { readonly ok: false; readonly fault: Fault };

/** @returns the model of the session's launcher under the shot's conditions; a fault when an input that it needs is not known */
export function tunableOfShot(session: Session, shot: Shot): TunableOfShot {
  const { launcher, airframe } = session;
  if (launcher === null || launcher.kind === "no-model") {
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
  const { gaugePressurePa, ...conditions } = shot.conditions;
  switch (launcher.kind) {
    case "compressed-air-ram":
      if (gaugePressurePa === null) {
        return {
          ok: false,
          fault: asFault(MODEL_NOTICES["no-gauge-pressure"](`shot "${shot.id}"`, ", or leave this shot out")),
        };
      }
      return {
        ok: true,
        model: ramTunable({ ...launcher, ...conditions, gaugePressurePa, airframeMassKg: massKg }),
      };
    case "elastic-line":
      return { ok: true, model: elasticTunable({ ...launcher, airframeMassKg: massKg }) };
    case "rocket-boost":
      return { ok: true, model: rocketTunable(launcher, airframe, massKg, conditions) };
  }
}
