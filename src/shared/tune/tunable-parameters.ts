import { modelInput } from "../inputs/model-input.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Airframe, Conditions, Launcher, Session, Shot } from "../session/schema.ts";
import { airframeOf } from "../session/what-took-part.ts";
import { tunableOfShot } from "./tunable-of-shot.ts";

/** What of the document says which inputs may be tuned. */
export interface Tunable {
  readonly launcher: Launcher | null;
  readonly airframe: Airframe;
  readonly shots: readonly Pick<Shot, "id" | "conditions">[];
}

/** A launcher of the session with the shots it threw, and what the first of them threw. */
export function tunableIn(
  session: Pick<Session, "airframes" | "launchers" | "shots">,
  launcherId: string | null,
): Tunable {
  const shots = session.shots.filter((shot) => shot.launcherId === launcherId);
  const airframe = airframeOf(session, shots[0] ?? null);
  return { launcher: session.launchers.find(({ id }) => id === launcherId) ?? null, airframe, shots };
}

/** An input of the launcher that may be tuned. */
export interface TunableParameter {
  readonly path: string;
  readonly words: string;
  readonly stated: Measured;
}

/**
 * The launcher's inputs that may be tuned: those with an uncertainty; exact ones cannot move. Empty
 * where there is no model.
 */
export function tunableParameters({ launcher, airframe, shots }: Tunable): readonly TunableParameter[] {
  const shot = shots.find((one) => tunableOfShot(launcher, airframe, one).ok) ?? shots[0];
  if (shot === undefined) return [];
  // Which inputs there are depends on neither mass nor pressure, so one that is not known yet may be any.
  const { id, conditions } = shot;
  const told = tunableOfShot(launcher, anyMass(airframe), { id, conditions: anyPressure(conditions) });
  if (!told.ok || launcher === null) return [];
  const { kind } = launcher;
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
export function likelyParameters(document: Tunable): readonly string[] {
  const paths = tunableParameters(document).map(({ path }) => path);
  const likely = modelOf(document.launcher)?.push?.likely ?? [];
  return likely.filter((path) => paths.includes(path));
}

function anyMass(airframe: Airframe): Airframe {
  return airframe.massKg === null ? { ...airframe, massKg: { value: 1, u: 0 } } : airframe;
}

function anyPressure(conditions: Conditions): Conditions {
  return conditions.gaugePressurePa === null
    ? { ...conditions, gaugePressurePa: { value: 1e5, u: 0 } }
    : conditions;
}
