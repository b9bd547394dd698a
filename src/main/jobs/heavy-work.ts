import { createBackgroundFollower } from "../../shared/background/follow-background.ts";
import { findSetUp } from "../../shared/carry/find-set-up.ts";
import { estimateCurve } from "../../shared/curve/estimate-curve.ts";
import { createFollower, type Follower } from "../../shared/follow/follow-point.ts";
import { measureShot } from "../../shared/measure/measure-shot.ts";
import { lensOutOf } from "../../shared/measure/picture-map-of.ts";
import { pushTrack } from "../../shared/measure/push-track.ts";
import { resultKey, trackKey } from "../../shared/measure/result-key.ts";
import { nextShot } from "../../shared/next-shot/next-shot.ts";
import { speedCard } from "../../shared/next-shot/speed-card.ts";
import { predictShot } from "../../shared/predict/predict-shot.ts";
import { findThings } from "../../shared/propose/proposals.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import { filmedShot } from "../../shared/session/filmed-shot.ts";
import { launchInputs } from "../../shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { tuneSession } from "../../shared/tune/tune-session.ts";
import { makeWriteUp } from "../write-up/make-write-up.ts";
import type { FollowGives, FollowPicture, FollowSeen, HeavyTask, ToThread } from "./heavy-task.ts";
import { createRemembered } from "./remembered.ts";

const TELL_EVERY = 20; // draws: a few times a second
const REMEMBERED = 24; // shots of a day; a result takes some 300 kB

/** What a thread remembers of shots, by the keys of all that they were computed from. */
interface Memory {
  results(key: string, compute: () => ShotResult): ShotResult;
  tracks(key: string, compute: () => ReturnType<typeof pushTrack>): ReturnType<typeof pushTrack>;
}

/**
 * Does what a thread is told, one message after the other; `onFraction` is told how far
 * the present one is, 0 to 1.
 */
export function createHeavyWork(onFraction: (fraction: number) => void): (message: ToThread) => unknown {
  let session: Session | null = null;
  let followers = new Map<number, Follower>();
  let background: ReturnType<typeof createBackgroundFollower> | null = null;
  // A person tunes again with other inputs, or writes up after it, with every push as it was.
  const memory = {
    results: createRemembered<ShotResult>(REMEMBERED),
    tracks: createRemembered<ReturnType<typeof pushTrack>>(REMEMBERED),
  };
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
        return done(session, message.task, memory, onFraction);
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
  memory: Memory,
  onFraction: (fraction: number) => void,
): unknown {
  switch (task.kind) {
    case "measure": {
      const { shotId, facts, draws } = task;
      if (draws === null) {
        const shot = shotOf(session, shotId);
        const key = resultKey(filmedShot(session, shot), launchInputs(session, shot), facts);
        return memory.results(key, () => measureShot(session, shotId, facts));
      }
      const onDraw = (drawn: number) => {
        if (drawn % TELL_EVERY === 0) onFraction(drawn / draws);
      };
      return measureShot(session, shotId, facts, { draws, onDraw });
    }
    case "predict":
      return predictShot(session, shotOf(session, task.shotId));
    case "track": {
      const filmed = filmedShot(session, shotOf(session, task.shotId));
      return memory.tracks(trackKey(filmed, task.facts), () => pushTrack(filmed, task.facts));
    }
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
