import type { UnitSet } from "../quantity/display.ts";
import type { OutingShot } from "./outings.ts";
import type { Airframe, Conditions, Launcher, Session, Shot, Tuning } from "./schema.ts";
import { type TestedRange, testedRanges } from "./tested-range.ts";
import { whatTookPart } from "./what-took-part.ts";

/** What a launcher launches in one shot and in which air, and the units a person reads it in. */
export interface LaunchedShot {
  readonly airframe: Airframe;
  /** The shot's tank pressure, air and wind. */
  readonly conditions: Conditions;
  readonly units: UnitSet;
}

/** The launcher as a person stated it, and what it was tuned to. */
export interface StatedLauncher {
  readonly launcher: Launcher | null;
  readonly tuning?: Tuning | undefined;
}

/** All that predicting one shot takes from the document; to see what another launch would do, change it. */
export interface LaunchInputs extends LaunchedShot, StatedLauncher {
  /** The airframe balances between two of them. */
  readonly points: Session["points"];
  /** Indices in the document, which say where a number that cannot be stands. */
  readonly at: {
    readonly shot: number;
    readonly airframe: number;
    readonly launcher: number;
    readonly tuning: number;
  };
  /** Where the shots lie that values in use were tuned on. */
  readonly tested: readonly TestedRange[];
}

/** @param shot one of the session's, or one that is to be added to it */
export function launchInputs(session: Session, shot: Shot): LaunchInputs {
  const { points, units, shots } = session;
  const { launcher, tuning, airframe, airframeAt, launcherAt, tuningAt } = whatTookPart(session, shot);
  const shotAt = Math.max(
    0,
    shots.findIndex(({ id }) => id === shot.id),
  );
  const at = { shot: shotAt, airframe: airframeAt, launcher: launcherAt, tuning: tuningAt };
  const tested = testedRanges(session, tuning);
  return { launcher, tuning, airframe, points, units, conditions: shot.conditions, at, tested };
}

/**
 * The same of a shot of another outing: this session's launcher and airframe, as heavy as it was there, in
 * that shot's air.
 * @returns null where its airframe or launcher is none of this session's
 */
export function outingLaunch(
  session: Session,
  { airframeId, launcherId, massKg, shot }: OutingShot,
): LaunchInputs | null {
  if (airframeId === null || launcherId === null) return null;
  const { points, units } = session;
  const part = whatTookPart(session, { airframeId, launcherId });
  if (part.launcher === null) return null;
  const { launcher, tuning, airframeAt, launcherAt, tuningAt } = part;
  const at = { shot: 0, airframe: airframeAt, launcher: launcherAt, tuning: tuningAt };
  const airframe = { ...part.airframe, massKg };
  const tested = testedRanges(session, tuning);
  return { launcher, tuning, airframe, points, units, conditions: shot.conditions, at, tested };
}
