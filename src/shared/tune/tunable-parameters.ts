import { modelInput } from "../inputs/model-input.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Session, Shot } from "../session/schema.ts";
import { tunableOfShot } from "./tunable-of-shot.ts";

/** An input of the launcher that may be tuned. */
export interface TunableParameter {
  readonly path: string;
  readonly words: string;
  readonly stated: Measured;
}

/** The launcher's inputs that may be tuned: those with an uncertainty; exact ones cannot move. Empty where there is no model. */
export function tunableParameters(session: Session): readonly TunableParameter[] {
  const shot = session.shots.find((one) => tunableOfShot(session, one).ok) ?? session.shots[0];
  if (shot === undefined) return [];
  // Which inputs there are does not depend on the conditions, so a pressure that is not known yet may be any.
  const told = tunableOfShot(anyMass(session), anyPressure(shot));
  if (!told.ok || session.launcher === null) return [];
  const { kind } = session.launcher;
  return told.model.inputs
    .map((stated) => ({ stated, input: modelInput(kind, stated.name) }))
    .filter(
      ({ stated: { of, u }, input: { input } }) => of === "launcher" && u > 0 && input?.tunable === true,
    )
    .map(({ stated: { name, value, u }, input: { bare } }) => ({
      path: name,
      words: bare,
      stated: { value, u },
    }));
}

/** The parameters to begin with: what no tape measures. */
export function likelyParameters(session: Session): readonly string[] {
  const paths = tunableParameters(session).map(({ path }) => path);
  const likely = modelOf(session.launcher)?.push?.likely ?? [];
  return likely.filter((path) => paths.includes(path));
}

function anyMass(session: Session): Session {
  if (session.airframe.massKg !== null) return session;
  return { ...session, airframe: { ...session.airframe, massKg: { value: 1, u: 0 } } };
}

function anyPressure(shot: Shot): Shot {
  if (shot.conditions.gaugePressurePa !== null) return shot;
  return { ...shot, conditions: { ...shot.conditions, gaugePressurePa: { value: 1e5, u: 0 } } };
}
