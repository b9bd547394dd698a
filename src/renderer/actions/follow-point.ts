import type { JobReply } from "../../shared/api/contract.ts";
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
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { isOurs, type Jobs } from "./jobs.ts";

/** Key of the work that follows a point, and of the note it leaves. */
export function followKey(shotId: string, pointId: string): string {
  return `follow ${shotId} ${pointId}`;
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
  if (state.jobs.some(({ key }) => key === followKey(shotId, point.id)))
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
  /** @param key edits in a row with the same one are one step of undo */
  readonly change: (edit: Edit, key?: string) => void;
  readonly onFault: (fault: Fault) => void;
}

/**
 * Follows the current point from its nearest hand mark to the clip's last frame, or back to its first, and
 * puts the marks into the document as one step of undo. Marks that were placed by hand meanwhile stay.
 * Stopped, it leaves the document as it was. Where there is nothing to follow, it says why.
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
  const way = { shotId, pointId, from, back };
  const followed = await followWay(parts, way);
  if (followed !== null) await settled(parts, followed);
}

/**
 * Follows every point that has a hand mark both ways, from the one nearest to this frame, and puts all marks
 * into the document as one step of undo.
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
  const key = `follow all ${shotId} ${state.history.past.length}`;
  await Promise.all(
    points.map(async (pointId) => {
      const from = nearestHand(shotOf(state), pointId, state.frame) ?? 0;
      for (const back of [false, true]) {
        if (from === endOf(state, back)) continue;
        const before = back ? parts.store.get().follows[followKey(shotId, pointId)] : undefined;
        const followed = await followWay(parts, { shotId, pointId, from, back });
        if (followed === null) return; // stopped
        await settled(parts, followed, { key, before });
      }
    }),
  );
}

interface Way {
  readonly shotId: string;
  readonly pointId: string;
  /** a frame with a hand mark */
  readonly from: number;
  readonly back: boolean;
}

function endOf(state: AppState, back: boolean): number {
  return back ? 0 : (factsOf(state)?.pts.length ?? 1) - 1;
}

/**
 * What one way of following a point came to; null when it was stopped, or could not be done: then that is
 * told.
 */
async function followWay(
  { store, jobs, onFault }: FollowParts,
  { shotId, pointId, from, back }: Way,
): Promise<(FollowedPoint & { readonly job: JobReply }) | null> {
  const state = store.get();
  const session = sessionOf(state);
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined) return null;
  const order = followOrder(filmedShot(session, shot), pointId, from, endOf(state, back));
  if (order === null) return null;
  try {
    const { seed, hands, ...rest } = order;
    const job = await jobs.run(followKey(shotId, pointId), {
      kind: "follow",
      ...rest,
      shotId,
      pointId,
      seed: { ...seed, at: [...seed.at] },
      hands: hands.map((hand) => ({ ...hand, at: [...hand.at] })),
    });
    if (!isOurs(job) || job.followed === null) return null; // stopped, or another window's
    return { shotId, pointId, point: order.point, followed: job.followed, job };
  } catch (error) {
    onFault(faultOf(error));
    return null;
  }
}

async function settled(
  parts: FollowParts,
  { job, ...followed }: FollowedPoint & { readonly job: JobReply },
  together: Together = {},
): Promise<void> {
  try {
    setFollowed(parts, followed, together);
    await parts.jobs.take(job);
  } catch (error) {
    parts.onFault(faultOf(error));
  }
}

export interface FollowedPoint {
  readonly shotId: string;
  readonly pointId: string;
  /** What the person calls the point. */
  readonly point: string;
  readonly followed: Followed;
}

/** What was followed before in the same go. */
interface Together {
  /** All of it is one step of undo. */
  readonly key?: string;
  /** What was said of the other way. */
  readonly before?: FollowNote | undefined;
}

/**
 * Puts what was followed into the document as one step of undo, beside a note of how it went. Marks that are
 * there already are no step.
 * @returns the frames of the marks; empty when shot or point are gone
 */
export function setFollowed(
  { store, change }: Pick<FollowParts, "store" | "change">,
  { shotId, pointId, point, followed }: FollowedPoint,
  { key, before }: Together = {},
): readonly number[] {
  const session = sessionOf(store.get());
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined || !session.points.some(({ id }) => id === pointId)) return [];
  const marks = followerMarks(shot, pointId, followed);
  const follows = {
    ...store.get().follows,
    [followKey(shotId, pointId)]: joinedNote(before, noteOf(followed, point)),
  };
  store.set({ ...store.get(), follows });
  const isThere = (mark: Mark) => {
    const there = markAt(shot, pointId, mark.frame);
    return there !== null && there.x === mark.x && there.y === mark.y && there.u === mark.u;
  };
  if (!marks.every(isThere)) change({ kind: "set-marks", shotId, marks }, key);
  return marks.map(({ frame }) => frame);
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
