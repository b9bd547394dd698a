import {
  doubtsSay,
  endSays,
  followedSays,
  marksOf,
  metSays,
  repeatsSay,
} from "../../shared/follow/follow-words.ts";
import type { Followed } from "../../shared/follow/followed.ts";
import { followerMarks, followOrder } from "../../shared/measure/follow-order.ts";
import { asFault, type Fault } from "../../shared/quantity/notice.ts";
import { CLIP_NOTICES } from "../../shared/results/notices/clip-notices.ts";
import type { Edit } from "../../shared/session/edits.ts";
import { filmedShot } from "../../shared/session/filmed-shot.ts";
import type { Mark, Shot } from "../../shared/session/schema.ts";
import {
  type AppState,
  type FollowNote,
  factsOf,
  markAt,
  sessionOf,
  shotOf,
} from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import type { JobView } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { isOurs, type Jobs } from "./jobs.ts";

/** Key of the work that follows some points, and of the note that one of them leaves. */
export function followKey(shotId: string, ...pointIds: readonly string[]): string {
  return ["follow", shotId, ...new Set(pointIds)].join(" ");
}

/** The work that follows a point, alone or among others; null while there is none. */
export function followingOf(
  { jobs }: Pick<AppState, "jobs">,
  shotId: string,
  pointId: string,
): JobView | null {
  const isOf = ({ key }: JobView) => {
    const [what, shot, ...points] = key.split(" ");
    return what === "follow" && shot === shotId && points.includes(pointId);
  };
  return jobs.find(isOf) ?? null;
}

/** The frame of the point's hand mark that is nearest to a frame, the earlier of two; null without any. */
export function nearestHand(shot: Shot | null, pointId: string | null, frame: number): number | null {
  let nearest: number | null = null;
  for (const mark of shot?.marks ?? []) {
    if (mark.pointId !== pointId || mark.by !== "hand") continue;
    if (nearest === null || Math.abs(mark.frame - frame) < Math.abs(nearest - frame)) nearest = mark.frame;
  }
  return nearest;
}

/** Whether the current point can be followed: it has a hand mark, and is not being followed. */
export function canFollow(state: AppState): boolean {
  return whyNot(state, state.pointId) === null;
}

/** The points that Follow all follows: those with a hand mark that are not being followed. */
export function pointsToFollow(state: AppState): readonly string[] {
  return sessionOf(state).points.flatMap(({ id }) => (whyNot(state, id) === null ? [id] : []));
}

/** Why a point cannot be followed, null when it can. */
function whyNot(state: AppState, pointId: string | null): Fault | null {
  const { shotId, frame } = state;
  const shot = shotOf(state);
  if (shotId === null || shot === null || factsOf(state) === null)
    return unfollowed(
      "No clip is open that could be followed through.",
      "Open a shot whose clip can be read.",
    );
  const point = sessionOf(state).points.find(({ id }) => id === pointId);
  if (point === undefined) return unfollowed("There is no point to follow.", "Add a point under Marks.");
  if (followingOf(state, shotId, point.id) !== null)
    return unfollowed(`The ${point.name} is being followed already.`, "Wait for it to end, or stop it.");
  if (nearestHand(shot, point.id, frame) === null)
    return unfollowed(
      `The ${point.name} has no hand mark to be followed from.`,
      "Mark it in one frame, where it is sharp and at rest; then follow it.",
    );
  if (shot.clip !== null && standingOf(state, shot.clip) === "other")
    // its pictures are not those that the hand marks were placed in
    return asFault(CLIP_NOTICES["another-clip"](shot.clip));
  return null;
}

function unfollowed(cause: string, remedy: string): Fault {
  return { code: "not-followed", cause, remedy };
}

export interface FollowParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly change: (edit: Edit) => void;
  readonly onFault: (fault: Fault) => void;
}

/**
 * Follows the current point from its nearest hand mark to the clip's last frame, or back to its first, and
 * puts the marks into the document as one step of undo. Marks that were placed by hand meanwhile stay.
 * Stopped, it puts in what was followed until then. Where there is nothing to follow, it says why.
 */
export async function followPoint(parts: FollowParts, back: boolean): Promise<void> {
  const state = parts.store.get();
  const { pointId, shotId } = state;
  const why = whyNot(state, pointId);
  if (why !== null) return parts.onFault(why);
  if (pointId === null || shotId === null) return;
  const from = nearestHand(shotOf(state), pointId, state.frame) ?? 0;
  if (from === endOf(state, back)) {
    const end = back ? "first" : "last";
    return parts.onFault(
      unfollowed(
        `The hand mark nearest to this frame lies in the clip's ${end} frame.`,
        "Follow the other way.",
      ),
    );
  }
  await followWays(parts, shotId, [{ pointId, from, back }]);
}

/**
 * Follows every point that has a hand mark both ways, from the one nearest to this frame, all in one pass
 * through the clip, and puts all marks into the document as one step of undo.
 */
export async function followAll(parts: FollowParts): Promise<void> {
  const state = parts.store.get();
  const { shotId } = state;
  const points = pointsToFollow(state);
  if (shotId === null || points.length === 0) {
    const why = whyNot(state, state.pointId ?? null);
    if (why !== null) parts.onFault(why);
    return;
  }
  const ways = points.flatMap((pointId) => {
    const from = nearestHand(shotOf(state), pointId, state.frame) ?? 0;
    return [false, true].flatMap((back) => (from === endOf(state, back) ? [] : [{ pointId, from, back }]));
  });
  await followWays(parts, shotId, ways);
}

interface Way {
  readonly pointId: string;
  /** a frame with a hand mark */
  readonly from: number;
  readonly back: boolean;
}

function endOf(state: AppState, back: boolean): number {
  return back ? 0 : (factsOf(state)?.pts.length ?? 1) - 1;
}

/** Follows some ways in one job, and puts the marks in; tells why where it could not be done. */
async function followWays(parts: FollowParts, shotId: string, ways: readonly Way[]): Promise<void> {
  const { store, jobs, onFault } = parts;
  const state = store.get();
  const session = sessionOf(state);
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined || shot.clip === null) return;
  const filmed = filmedShot(session, shot);
  const orders = ways.flatMap(({ pointId, from, back }) => {
    const order = followOrder(filmed, pointId, from, endOf(state, back));
    return order === null ? [] : [{ pointId, ...order }];
  });
  if (orders.length === 0) return;
  try {
    const job = await jobs.run(followKey(shotId, ...orders.map(({ pointId }) => pointId)), {
      kind: "follow",
      clip: shot.clip,
      shotId,
      ways: orders.map(({ pointId, point, seed, hands, to, exposureShare }) => ({
        ...{ pointId, point, to, exposureShare },
        seed: { ...seed, at: [...seed.at] },
        hands: hands.map((hand) => ({ ...hand, at: [...hand.at] })),
      })),
    });
    if (!isOurs(job) || job.followed === null) return; // stopped, or another window's
    const { followed } = job;
    setFollowed(
      parts,
      shotId,
      orders.flatMap(({ pointId, point }, i) => {
        const own = followed[i];
        return own === undefined ? [] : [{ pointId, point, followed: own }];
      }),
    );
    await jobs.take(job);
  } catch (error) {
    onFault(faultOf(error));
  }
}

export interface FollowedPoint {
  readonly pointId: string;
  /** What the person calls the point. */
  readonly point: string;
  readonly followed: Followed;
}

/**
 * Puts what was followed of a shot into the document as one step of undo, beside a note for each point of how
 * it went. Marks that are there already are no step; points that are gone are left out.
 */
export function setFollowed(
  { store, change }: Pick<FollowParts, "store" | "change">,
  shotId: string,
  all: readonly FollowedPoint[],
): void {
  const session = sessionOf(store.get());
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined) return;
  const present = all.filter(({ pointId }) => session.points.some(({ id }) => id === pointId));
  const follows = { ...store.get().follows };
  const noted = new Set<string>();
  for (const { pointId, point, followed } of present) {
    const key = followKey(shotId, pointId);
    follows[key] = joinedNote(noted.has(key) ? follows[key] : undefined, noteOf(followed, point));
    noted.add(key);
  }
  store.set({ ...store.get(), follows });
  const marks = present.flatMap(({ pointId, followed }) => followerMarks(shot, pointId, followed));
  const isThere = (mark: Mark) => {
    const there = markAt(shot, mark.pointId, mark.frame);
    return there !== null && there.x === mark.x && there.y === mark.y && there.u === mark.u;
  };
  if (!marks.every(isThere)) change({ kind: "set-marks", shotId, marks });
}

function noteOf(followed: Followed, name: string): FollowNote {
  const { end, met } = followed;
  const repeats = repeatsSay(followed);
  const apart = met.filter(({ agrees }) => !agrees).map(metSays);
  const agreed = met.length - apart.length;
  return {
    says: followedSays(followed),
    end: end === null ? null : { frame: end.frame, fault: endSays(end, name) },
    more: [
      ...(agreed === 0
        ? []
        : [`${agreed === 1 ? "One hand mark" : `${agreed} hand marks`} on the way agreed.`]),
      ...apart,
      ...(repeats === null ? [] : [repeats]),
    ],
    doubtful: marksOf(followed)
      .filter(({ doubts }) => doubts.length > 0)
      .map((mark) => ({ frame: mark.frame, text: doubtsSay(mark) })),
  };
}

/** The notes of following onwards and backwards as one. */
function joinedNote(onwards: FollowNote | undefined, note: FollowNote): FollowNote {
  if (onwards === undefined) return note;
  return {
    says: onwards.says,
    end: onwards.end ?? note.end,
    more: [...onwards.more, `Backwards: ${note.says}`, ...note.more],
    doubtful: [...note.doubtful, ...onwards.doubtful],
  };
}

/** The state with one doubtful mark of a note accepted, or all of them. */
export function doubtAccepted(state: AppState, key: string, frame: number | null): AppState {
  const note = state.follows[key];
  if (note === undefined) return state;
  const doubtful = frame === null ? [] : note.doubtful.filter((one) => one.frame !== frame);
  return { ...state, follows: { ...state.follows, [key]: { ...note, doubtful } } };
}
