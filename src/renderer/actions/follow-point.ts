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
import type { Mark } from "../../shared/session/schema.ts";
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

/**
 * Whether the current point can be followed from this frame: it has a hand mark here,
 * and is not being followed.
 */
export function canFollow(state: AppState): boolean {
  const { shotId, pointId, frame } = state;
  if (shotId === null || pointId === null || factsOf(state) === null) return false;
  if (state.jobs.some(({ key }) => key === followKey(shotId, pointId))) return false;
  return markAt(shotOf(state), pointId, frame)?.by === "hand";
}

export interface FollowParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly change: (edit: Edit) => void;
  readonly onFault: (fault: Fault) => void;
}

/**
 * Follows the current point from its hand mark in this frame to the clip's last frame, or back to its first,
 * and puts the marks into the document as one step of undo. Marks that were placed by hand meanwhile stay.
 * Stopped, it leaves the document as it was.
 */
export async function followPoint(parts: FollowParts, back: boolean): Promise<void> {
  const { store, jobs, onFault } = parts;
  const state = store.get();
  const { shotId, pointId, frame } = state;
  const [shot, facts] = [shotOf(state), factsOf(state)];
  if (shot === null || facts === null || shotId === null || pointId === null || !canFollow(state)) return;
  if (shot.clip !== null && standingOf(state, shot.clip) === "other") {
    // its pictures are not those that the hand marks were placed in
    onFault(asFault(CLIP_NOTICES["another-clip"](shot.clip)));
    return;
  }
  const to = back ? 0 : facts.pts.length - 1;
  const order = followOrder(filmedShot(sessionOf(state), shot), pointId, frame, to);
  if (order === null || to === frame) return;
  const key = followKey(shotId, pointId);
  try {
    const { seed, hands, ...rest } = order;
    const job = await jobs.run(key, {
      kind: "follow",
      ...rest,
      shotId,
      pointId,
      seed: { ...seed, at: [...seed.at] },
      hands: hands.map((hand) => ({ ...hand, at: [...hand.at] })),
    });
    if (!isOurs(job) || job.followed === null) return; // stopped, or another window's
    setFollowed(parts, { shotId, pointId, point: order.point, followed: job.followed });
    await jobs.take(job);
  } catch (error) {
    onFault(faultOf(error));
  }
}

export interface FollowedPoint {
  readonly shotId: string;
  readonly pointId: string;
  /** What the person calls the point. */
  readonly point: string;
  readonly followed: Followed;
}

/**
 * Puts what was followed into the document as one step of undo, beside a note of how it went. Marks that are
 * there already are no step.
 * @returns the frames of the marks; empty when shot or point are gone
 */
export function setFollowed(
  { store, change }: Pick<FollowParts, "store" | "change">,
  { shotId, pointId, point, followed }: FollowedPoint,
): readonly number[] {
  const session = sessionOf(store.get());
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined || !session.points.some(({ id }) => id === pointId)) return [];
  const marks = followerMarks(shot, pointId, followed);
  const follows = { ...store.get().follows, [followKey(shotId, pointId)]: noteOf(followed, point) };
  store.set({ ...store.get(), follows });
  const isThere = (mark: Mark) => {
    const there = markAt(shot, pointId, mark.frame);
    return there !== null && there.x === mark.x && there.y === mark.y && there.u === mark.u;
  };
  if (!marks.every(isThere)) change({ kind: "set-marks", shotId, marks });
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

/** The state with one doubtful mark of a note accepted, or all of them. */
export function doubtAccepted(state: AppState, key: string, frame: number | null): AppState {
  const note = state.follows[key];
  if (note === undefined) return state;
  const doubtful = frame === null ? [] : note.doubtful.filter((one) => one.frame !== frame);
  return { ...state, follows: { ...state.follows, [key]: { ...note, doubtful } } };
}
