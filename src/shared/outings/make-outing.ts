import type { PushTrack } from "../measure/push-track.ts";
import { speedParts } from "../next-shot/own-measuring.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { digestOf } from "../session/canonical-text.ts";
import type { Outing, Session, Shot } from "../session/schema.ts";
import type { ThingKind } from "../session/shelf-schemas.ts";
import { shelvedAs } from "../session/shelved.ts";
import { copiedCurves } from "./copied-curves.ts";
import { clipDigest } from "./counted-already.ts";

/** What is known of another outing beside its session and its measured shots. */
export interface OutingFacts {
  readonly id: string;
  /** Of its field folder from this one, with forward slashes. */
  readonly path: string;
  readonly title: string;
  /** SHA-256 of its session. */
  readonly fingerprint: string;
  /** ISO time. */
  readonly readAt: string;
}

/** What the measurement of the other outing's shots came to. */
export interface OutingTracks {
  readonly tracks: ReadonlyMap<string, PushTrack>;
  /** What was noticed of them; those without a word may be left out. */
  readonly noticed?: ReadonlyMap<string, readonly Pick<ShotNotice, "level" | "cause">[]>;
  /** What the others lack. */
  readonly lacking: ReadonlyMap<string, string>;
}

type OutingEntry = Outing["shots"][number];

const FLIGHT_S = 0.1; // after release; tuning takes half of it
const NO_PART = 1e-3; // of the least u of a point; what an error moves by less is left out
const LONG = 160; // characters
const DIGITS = 9;

/**
 * The copy that a session keeps of another outing: the results that are needed, with u, conditions, and the
 * pushes with the errors that shots share. Which of its airframes, launchers and cameras are this session's
 * is as it was said before; else by the shelf that both are from; airframes and launchers else by names.
 * @param before the copy that this one takes the place of; null for a new one
 */
export function makeOuting(
  here: Session,
  there: Session,
  { tracks, noticed, lacking }: OutingTracks,
  facts: OutingFacts,
  before: Outing | null,
): Outing {
  const idHere = (of: ThingKind, id: string, name: string): string | null => {
    const list = { airframe: here.airframes, launcher: here.launchers, camera: here.cameras }[of];
    const said = { airframe: before?.airframes, launcher: before?.launchers, camera: before?.cameras }[of];
    const was = said?.find((one) => one.id === id)?.here;
    if (was !== undefined) return list.some((one) => one.id === was) ? was : null;
    const { shelfId } = shelvedAs(there, of, id) ?? {};
    const byShelf = list.find(
      (one) => shelfId !== undefined && shelvedAs(here, of, one.id)?.shelfId === shelfId,
    );
    if (byShelf !== undefined || of === "camera" || name === "") return byShelf?.id ?? null;
    const named = list.filter((one) => one.name === name);
    return named.length === 1 ? (named[0]?.id ?? null) : null;
  };
  const nameOf = (id: string) => there.shots.find((shot) => shot.id === id)?.name ?? id;
  return {
    ...facts,
    airframes: there.airframes.map(({ id, name, massKg }) => ({
      ...{ id, name, massKg, here: idHere("airframe", id, name) },
    })),
    launchers: there.launchers.map(({ id, ...launcher }) => ({
      ...{ id, launcher, here: idHere("launcher", id, launcher.name) },
    })),
    cameras: there.cameras.map(({ id, name }) => ({ id, name, here: idHere("camera", id, name) })),
    shots: there.shots.flatMap((shot) => {
      const track = tracks.get(shot.id);
      return track === undefined ? [] : [shotOf(shot, there, track, noticed?.get(shot.id) ?? [])];
    }),
    leftOut: (before?.leftOut ?? []).filter((id) => tracks.has(id)),
    lacking: [...lacking].map(([id, why]) => ({ name: nameOf(id), why })),
  };
}

function shotOf(
  shot: Shot,
  there: Session,
  track: PushTrack,
  noticed: readonly Pick<ShotNotice, "level" | "cause">[],
): OutingEntry {
  const { quantities, budget } = track.measurement;
  const alike = there.shots.filter(
    ({ airframeId, launcherId }) => airframeId === shot.airframeId && launcherId === shot.launcherId,
  );
  const speed = quantities.releaseSpeed;
  const parts =
    speed === undefined ? { ownU: 0, shared: [] } : speedParts(shot, alike, budget.releaseSpeed ?? [], speed);
  return {
    id: shot.id,
    name: shot.name,
    airframeId: shot.airframeId,
    launcherId: shot.launcherId,
    clipSha256: clipDigest(there, shot),
    conditions: shot.conditions,
    quantities: Object.fromEntries(
      Object.entries(quantities).map(([name, { value, u }]) => [name, { value, u }]),
    ),
    ownU: parts.ownU,
    shared: parts.shared.map(({ by, u }) => ({ by: short(by), u })),
    curves: copiedCurves(track.measurement),
    noticed: noticed.flatMap(({ level, cause }) => (level === "note" ? [] : [{ level, cause }])),
    push: pushOf(track),
  };
}

function pushOf({ points, common, directionRad, startS, releaseS }: PushTrack): OutingEntry["push"] {
  const used = [...points.keys()].filter((i) => (points[i]?.timeS ?? 0) <= releaseS + FLIGHT_S);
  const at = used.flatMap((i) => points[i] ?? []);
  const least = Math.min(...at.map(({ u }) => u));
  return {
    ...{ directionRad, startS, releaseS },
    points: at.map(({ timeS, travelM, u, speedMPerS }) => [
      ...([rounded(timeS), rounded(travelM), rounded(u), rounded(speedMPerS)] as const),
    ]),
    errors: common.flatMap(({ key, source, travelM, timeS }) => {
      const travel = used.map((i) => travelM[i] ?? 0);
      const time = used.map((i) => timeS[i] ?? 0);
      const most = Math.max(...travel.map((d, i) => Math.abs(d - (at[i]?.speedMPerS ?? 0) * (time[i] ?? 0))));
      if (most < NO_PART * least) return [];
      return [{ by: short(key), source, travelM: travel.map(rounded), timeS: time.map(rounded) }];
    }),
  };
}

/** Far below what any u is known to. */
function rounded(x: number): number {
  return Number(x.toPrecision(DIGITS));
}

/** A long name by its digest; the camera that it is of stays to be read. */
function short(by: string): string {
  if (by.length <= LONG) return by;
  const camera = /\bcamera [a-z0-9][a-z0-9-]*/.exec(by)?.[0];
  return `${camera === undefined ? "" : `${camera}, `}${digestOf(by)}`;
}
