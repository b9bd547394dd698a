import type { UnitSet } from "../quantity/display.ts";
import type { Airframe, Conditions, Session, Shot } from "./schema.ts";

/** What a launcher launches in one shot and in which air, and the units a person reads it in. */
export interface LaunchedShot {
  readonly airframe: Airframe;
  /** The shot's tank pressure, air and wind. */
  readonly conditions: Conditions;
  readonly units: UnitSet;
}

/** The launcher as a person stated it, and what it was tuned to. */
export type StatedLauncher = Readonly<Pick<Session, "launcher" | "tuning">>;

/** All that predicting one shot takes from the document; to see what another launch would do, change it. */
export interface LaunchInputs extends LaunchedShot, StatedLauncher {
  /** The airframe balances between two of them. */
  readonly points: Session["points"];
  /** Index of the shot in the document, which says where a number that cannot be stands. */
  readonly shotAt: number;
}

/** @param shot one of the session's, or one that is to be added to it */
export function launchInputs(session: Session, shot: Shot): LaunchInputs {
  const { launcher, tuning, airframe, points, units, shots } = session;
  const shotAt = Math.max(
    0,
    shots.findIndex(({ id }) => id === shot.id),
  );
  return { launcher, tuning, airframe, points, units, conditions: shot.conditions, shotAt };
}
