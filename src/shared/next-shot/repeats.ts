import { modelOf } from "../launchers/launcher-models.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotResult } from "../results/shot-result.ts";
import { errorHere, outingShots } from "../session/outings.ts";
import type { Session, Shot, Tuning } from "../session/schema.ts";
import { statedOtherwise } from "../session/stated-otherwise.ts";
import { airframeOf, launcherOf } from "../session/what-took-part.ts";
import { ownMeasuring, type SpeedParts, speedParts } from "./own-measuring.ts";
import { type Repeatability, type RepeatedSpeed, repeatability } from "./repeatability.ts";

/** The release speed of one measured shot, and the pressure it was thrown with. */
export interface ShotSpeed {
  readonly shotId: string;
  readonly name: string;
  /** Pa gauge; null for a launcher without a tank, or when it was not noted. */
  readonly gaugePa: Measured | null;
  /** m/s, u with all that is in it. */
  readonly speed: Measured;
  readonly ownU: number;
  readonly commonU: number;
  /** What is of the shot alone and what of it others share, for shots of several outings together. */
  readonly parts?: SpeedParts;
  /** What another outing is called that it is of; left out for the session's own. */
  readonly outing?: string;
}

/**
 * The release speeds of the shots that could be measured, in the session's order: of those that threw the
 * same airframe from the same launcher as one, since only they repeat each other. Shots of other outings come
 * after them, where the airframe was as heavy and the launcher stated alike.
 */
export function shotSpeeds(
  session: Pick<Session, "shots" | "launchers" | "airframes" | "outings">,
  like: Pick<Shot, "airframeId" | "launcherId">,
  results: readonly ShotResult[],
): readonly ShotSpeed[] {
  const hasTank = modelOf(launcherOf(session, like))?.hasTank ?? false;
  const alike = session.shots.filter(
    ({ airframeId, launcherId }) => airframeId === like.airframeId && launcherId === like.launcherId,
  );
  const own = alike.flatMap((shot): ShotSpeed[] => {
    const measurement = results.find(({ shotId }) => shotId === shot.id)?.measurement;
    const speed = measurement?.quantities.releaseSpeed;
    if (measurement == null || speed === undefined) return [];
    const lines = measurement.budget.releaseSpeed ?? [];
    const ownU = ownMeasuring(shot, alike, lines, speed.value);
    return [
      {
        shotId: shot.id,
        name: shot.name,
        gaugePa: hasTank ? shot.conditions.gaugePressurePa : null,
        speed: { value: speed.value, u: speed.u },
        ownU: Math.min(ownU, speed.u),
        commonU: Math.sqrt(Math.max(0, speed.u ** 2 - ownU ** 2)),
        parts: speedParts(shot, alike, lines, speed),
      },
    ];
  });
  return [...own, ...speedsElsewhere(session, like, hasTank)];
}

/** Of other outings: those that repeat the session's own. */
function speedsElsewhere(
  session: Pick<Session, "launchers" | "airframes" | "outings">,
  like: Pick<Shot, "airframeId" | "launcherId">,
  hasTank: boolean,
): readonly ShotSpeed[] {
  const here = launcherOf(session, like);
  const { massKg } = airframeOf(session, like);
  return outingShots(session).flatMap((one): ShotSpeed[] => {
    const { airframeId, launcherId, launcherThere, outing, shot } = one;
    const speed = shot.quantities.releaseSpeed;
    if (airframeId !== like.airframeId || launcherId !== like.launcherId || speed === undefined) return [];
    if (here !== null && launcherThere !== null && statedOtherwise(launcherThere, here).length > 0) return [];
    if (!isAsHeavy(one.massKg, massKg)) return [];
    const shared = shot.shared.map(({ by, u }) => ({ by: errorHere(by, outing), u }));
    return [
      {
        shotId: one.id,
        name: one.name,
        gaugePa: hasTank ? shot.conditions.gaugePressurePa : null,
        speed: { value: speed.value, u: speed.u },
        ownU: shot.ownU,
        commonU: Math.sqrt(Math.max(0, speed.u ** 2 - shot.ownU ** 2)),
        parts: { ownU: shot.ownU, shared },
        outing: outing.title,
      },
    ];
  });
}

/** Within 3 standard uncertainties of the difference; two masses that nobody stated may be the same. */
export function isAsHeavy(there: Measured | null, here: Measured | null): boolean {
  if (there === null || here === null) return there === here;
  return Math.abs(there.value - here.value) <= 3 * Math.hypot(there.u, here.u);
}

/** Shots at one setting, of one airframe and launcher, so that only the pressure can differ. */
export interface RepeatGroup {
  /** Pa gauge, the mean; null for a launcher without a tank. */
  readonly gaugePa: number | null;
  readonly shots: readonly ShotSpeed[];
  /** null for a single shot. */
  readonly repeatability: Repeatability | null;
}

/**
 * Shots grouped by pressure: from the lowest up, a shot joins the group while its pressure differs from
 * the group's first by no more than the standard uncertainty of the difference. A ram's shot without a
 * pressure is in no group.
 * @param hasTank whether shots differ by tank pressure at all; without, all are one group
 */
export function repeatGroups(speeds: readonly ShotSpeed[], hasTank: boolean): readonly RepeatGroup[] {
  if (!hasTank) return speeds.length === 0 ? [] : [groupOf(null, speeds)];
  const filled = speeds.flatMap((one) => (one.gaugePa === null ? [] : [{ ...one, gaugePa: one.gaugePa }]));
  const sorted = filled.sort((a, b) => a.gaugePa.value - b.gaugePa.value);
  const groups: (typeof sorted)[] = [];
  for (const shot of sorted) {
    const first = groups.at(-1)?.[0];
    const near =
      first !== undefined &&
      shot.gaugePa.value - first.gaugePa.value <=
        Math.hypot(shot.gaugePa.u, first.gaugePa.u) + ROUNDING * Math.abs(first.gaugePa.value);
    if (near) lastOf(groups).push(shot);
    else groups.push([shot]);
  }
  return groups.map((shots) =>
    groupOf(shots.reduce((sum, { gaugePa }) => sum + gaugePa.value, 0) / shots.length, shots),
  );
}

const ROUNDING = 1e-9; // the same reading typed in psi and in bar

function groupOf(gaugePa: number | null, shots: readonly ShotSpeed[]): RepeatGroup {
  // Shots of one outing share scale and clock; those of several by what their documents hold.
  const several = shots.some(({ outing }) => outing !== undefined);
  const speeds = shots.map(
    ({ speed: { value }, ownU, commonU, parts }): RepeatedSpeed =>
      several && parts !== undefined ? { value, commonU, ...parts } : { value, ownU, commonU },
  );
  return { gaugePa, shots, repeatability: repeatability(speeds) };
}

/** How far the release speed differs from shot to shot at one setting. */
export interface Scatter {
  /** 1, standard deviation over speed. */
  readonly relative: number;
  readonly dof: number;
  readonly shots: number;
  readonly from: "tuning" | "repeats";
}

/**
 * Scatter from shot to shot: what tuning found, where its values are in use and it had shots enough to find
 * any; else the repeats of all groups pooled, s² = Σ (n−1)(s/mean)²/Σ (n−1). The repeats' scatter still holds
 * what measuring adds, so it is rather too large than too small.
 * @returns null when neither says anything
 */
export function scatterOf(tuning: Tuning | undefined, groups: readonly RepeatGroup[]): Scatter | null {
  if (tuning?.use && tuning.tuned !== null && tuning.tuned.scatter > 0 && tuning.tuned.shotCount >= 3) {
    const { scatter, shotCount } = tuning.tuned;
    return { relative: scatter, dof: shotCount - 1, shots: shotCount, from: "tuning" };
  }
  const repeated = groups.flatMap(({ repeatability: one }) => (one !== null && one.mean > 0 ? [one] : []));
  const dof = repeated.reduce((sum, { n }) => sum + n - 1, 0);
  if (dof === 0) return null;
  const sum = repeated.reduce((total, { n, s, mean }) => total + (n - 1) * (s / mean) ** 2, 0);
  return { relative: Math.sqrt(sum / dof), dof, shots: dof + repeated.length, from: "repeats" };
}
