import type { Outing, Session } from "./schema.ts";

/** One measured shot of another outing, with what of this session it was made with. */
export interface OutingShot {
  /** As tunings name it: the outing's id, a colon, its id there. */
  readonly id: string;
  /** "Shot 3 of An afternoon" */
  readonly name: string;
  readonly outing: Outing;
  readonly shot: Outing["shots"][number];
  /** Of this session; null where it has no counterpart here. */
  readonly airframeId: string | null;
  readonly launcherId: string | null;
  /** kg, as it was launched there. */
  readonly massKg: Outing["airframes"][number]["massKg"];
  /** As stated there; null when not said. */
  readonly launcherThere: Outing["launchers"][number]["launcher"] | null;
}

/** Lists that were made before: who asks for the same is given the same object. */
const MADE = new WeakMap<readonly Outing[], readonly OutingShot[]>();
const NONE: readonly OutingShot[] = [];

/** Every shot of the other outings that a session names and does not leave out, in their order. */
export function outingShots({ outings }: Pick<Session, "outings">): readonly OutingShot[] {
  if (outings === undefined) return NONE;
  const before = MADE.get(outings);
  if (before !== undefined) return before;
  const all = outings.flatMap((outing) =>
    outing.shots.flatMap((shot): OutingShot[] => {
      if (outing.leftOut.includes(shot.id)) return [];
      const airframe = outing.airframes.find(({ id }) => id === shot.airframeId);
      const launcher = outing.launchers.find(({ id }) => id === shot.launcherId);
      return [
        {
          id: `${outing.id}:${shot.id}`,
          name: `${shot.name} of ${outing.title}`,
          outing,
          shot,
          airframeId: airframe?.here ?? null,
          launcherId: launcher?.here ?? null,
          massKg: airframe?.massKg ?? null,
          launcherThere: launcher?.launcher ?? null,
        },
      ];
    }),
  );
  MADE.set(outings, all);
  return all;
}

/** One of them by the id that tunings name it by; null where there is none. */
export function outingShotOf(session: Pick<Session, "outings">, id: string): OutingShot | null {
  return outingShots(session).find((one) => one.id === id) ?? null;
}

/** Whether an id is that of a shot of another outing. */
export function isOfOuting(id: string): boolean {
  return id.includes(":");
}

/** What shots of a session are called by their ids, those of other outings included. */
export function namedShots(
  session: Pick<Session, "shots" | "outings">,
): readonly { readonly id: string; readonly name: string }[] {
  return [...session.shots, ...outingShots(session)];
}

// a rod's length; where an airframe balances
const MEASURED_ONCE = /^(shot\.(scale|rods\.\d+)\.rodM(\.|:)|axis\.)/;
const OF_CAMERA = /\bcamera ([a-z0-9][a-z0-9-]*)/;

/**
 * What an error of another outing is of, in this session's terms. A rod's length, or an airframe's
 * balance, typed with the same number and u is the same measurement, as within a session; a camera that is
 * one of this session's keeps its errors. All
 * else (picks, planes, movements, other cameras) is of that outing alone.
 */
export function errorHere(by: string, { id, cameras }: Outing): string {
  if (MEASURED_ONCE.test(by) && !by.includes("; ")) return by;
  const there = OF_CAMERA.exec(by)?.[1];
  const here = cameras.find((camera) => camera.id === there)?.here ?? null;
  return here === null ? `${id}: ${by}` : by.replace(OF_CAMERA, `camera ${here}`);
}

/** The session without counterparts that it no longer has; the same object when there are none. */
export function counterpartsKept(session: Session): Session {
  const { outings } = session;
  if (outings === undefined) return session;
  const kept = outings.map((outing): Outing => {
    const airframes = stillThere(outing.airframes, session.airframes);
    const launchers = stillThere(outing.launchers, session.launchers);
    const cameras = stillThere(outing.cameras, session.cameras);
    const same =
      airframes === outing.airframes && launchers === outing.launchers && cameras === outing.cameras;
    return same ? outing : { ...outing, airframes, launchers, cameras };
  });
  return kept.every((one, i) => one === outings[i]) ? session : { ...session, outings: kept };
}

function stillThere<T extends { readonly here: string | null }>(
  list: T[],
  things: readonly { readonly id: string }[],
): T[] {
  const isGone = ({ here }: T) => here !== null && !things.some(({ id }) => id === here);
  return list.some(isGone) ? list.map((one) => (isGone(one) ? { ...one, here: null } : one)) : list;
}

/** An outing with one of its shots left out, or taken in again; the same object where it is so already. */
export function shotCounts(outing: Outing, shotId: string, counts: boolean): Outing {
  const { leftOut } = outing;
  if (leftOut.includes(shotId) !== counts) return outing;
  return { ...outing, leftOut: counts ? leftOut.filter((id) => id !== shotId) : [...leftOut, shotId] };
}

/** The session with an outing in the place of the one of its id, or added. */
export function withOuting(session: Session, outing: Outing): Session {
  const { outings = [] } = session;
  const known = outings.some(({ id }) => id === outing.id);
  return {
    ...session,
    outings: known ? outings.map((one) => (one.id === outing.id ? outing : one)) : [...outings, outing],
  };
}

export function withoutOuting(session: Session, outingId: string): Session {
  const { outings = [], ...rest } = session;
  const left = outings.filter(({ id }) => id !== outingId);
  return left.length === 0 ? rest : { ...rest, outings: left };
}
