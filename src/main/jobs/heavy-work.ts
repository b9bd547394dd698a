import { createBackgroundFollower } from "../../shared/background/follow-background.ts";
import { findSetUp } from "../../shared/carry/find-set-up.ts";
import { estimateCurve } from "../../shared/curve/estimate-curve.ts";
import { createFollower, type Follower } from "../../shared/follow/follow-point.ts";
import { measureShot } from "../../shared/measure/measure-shot.ts";
import { lensOutOf } from "../../shared/measure/picture-map-of.ts";
import { pushTrack } from "../../shared/measure/push-track.ts";
import { nextShot } from "../../shared/next-shot/next-shot.ts";
import { speedCard } from "../../shared/next-shot/speed-card.ts";
import { predictShot } from "../../shared/predict/predict-shot.ts";
import { findThings } from "../../shared/propose/proposals.ts";
import { filmedShot } from "../../shared/session/filmed-shot.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { tuneSession } from "../../shared/tune/tune-session.ts";
import { makeWriteUp } from "../write-up/make-write-up.ts";
import type { FollowGives, FollowPicture, FollowSeen, HeavyTask, ToThread } from "./heavy-task.ts";

const TELL_EVERY = 20; // draws: a few times a second

/**
 * Does what a thread is told, one message after the other; `onFraction` is told how far
 * the present one is, 0 to 1.
 */
export function createHeavyWork(onFraction: (fraction: number) => void): (message: ToThread) => unknown {
  let session: Session | null = null;
  let followers = new Map<number, Follower>();
  let background: ReturnType<typeof createBackgroundFollower> | null = null;
  return (message) => {
    switch (message.kind) {
      case "task": {
        if (message.task.kind === "curve") return estimateCurve(message.task.samples, message.task.options);
        if (message.task.kind === "propose") return findThings(message.task.before, message.task.after);
        if (message.task.kind === "carry") {
          const { sought, former, pictures, lens } = message.task;
          return findSetUp(sought, former, pictures, lensOutOf(lens ?? undefined));
        }
        session = message.session ?? session;
        if (session === null) throw new RangeError("the first task of a thread needs a session");
        return done(session, message.task, onFraction);
      }
      case "follow-picture":
        return shown(followers, message.picture);
      case "follow-end": {
        const followed = new Map([...followers].map(([id, one]) => [id, one.followed()] as const));
        followers = new Map();
        return followed satisfies FollowGives;
      }
      case "watch-from": {
        const { frame, lens } = message.start;
        background = createBackgroundFollower(message.image, frame, lensOutOf(lens ?? undefined));
        return background.first;
      }
      case "watch-see": {
        if (background === null) throw new RangeError("no background is being watched");
        return background.see(message.frame, message.image);
      }
    }
  };
}

/** Begins followers in a frame, and shows it to others. */
function shown(followers: Map<number, Follower>, { frame, image, begin, see }: FollowPicture): FollowSeen {
  const ended: number[] = [];
  for (const id of see) {
    const follower = followers.get(id);
    if (follower === undefined) throw new RangeError(`no follower ${id}`);
    if (follower.see(frame, image) !== null) ended.push(id);
  }
  for (const { id, start } of begin) {
    const { seed, hands, exposureShare, stampsS } = start;
    const timeOf = (at: number) => stampsS[at] ?? at;
    const follower = createFollower(image, seed, hands, { exposureShare, timeOf });
    followers.set(id, follower);
    if (follower.followed().end !== null) ended.push(id);
  }
  return { ended };
}

function done(
  session: Session,
  task: Exclude<HeavyTask, { kind: "curve" | "propose" | "carry" }>,
  onFraction: (fraction: number) => void,
): unknown {
  switch (task.kind) {
    case "measure": {
      const { shotId, facts, draws } = task;
      const onDraw = (drawn: number) => {
        if (draws !== null && drawn % TELL_EVERY === 0) onFraction(drawn / draws);
      };
      return measureShot(session, shotId, facts, draws === null ? null : { draws, onDraw });
    }
    case "predict":
      return predictShot(session, shotOf(session, task.shotId));
    case "track":
      return pushTrack(filmedShot(session, shotOf(session, task.shotId)), task.facts);
    case "tune":
      return tuneSession(session, task.request, task.tracks);
    case "next-shot":
      return nextShot(session, shotOf(session, task.shotId), task.ask, task.speeds);
    case "card":
      return speedCard(session, shotOf(session, task.shotId), task.ask, task.speeds);
    case "write-up":
      return makeWriteUp({ session, results: task.results, facts: task.facts, madeAt: task.madeAt });
  }
}

/** @throws RangeError when the session has no such shot: the caller's bug */
function shotOf({ shots }: Session, id: string): Shot {
  const shot = shots.find((one) => one.id === id);
  if (shot === undefined) throw new RangeError(`no shot "${id}"`);
  return shot;
}
