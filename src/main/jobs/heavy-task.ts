import type { SoughtPick } from "../../shared/carry/find-pick.ts";
import type { ClipPicture, findSetUp } from "../../shared/carry/find-set-up.ts";
import type { CurveOptions, CurveSample, estimateCurve } from "../../shared/curve/estimate-curve.ts";
import type { Followed, HandMark } from "../../shared/follow/followed.ts";
import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { PushTrack, pushTrack } from "../../shared/measure/push-track.ts";
import type { SpeedCard } from "../../shared/next-shot/card-content.ts";
import type { NextShotReport } from "../../shared/next-shot/next-shot-report.ts";
import type { ShotSpeed } from "../../shared/next-shot/repeats.ts";
import type { FoundThings } from "../../shared/propose/proposals.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ShotPrediction, ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { LensData, NextShot, Session } from "../../shared/session/schema.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { TuneOutcome } from "../../shared/tune/tune-session.ts";
import type { WriteUpFile } from "../write-up/make-write-up.ts";

/**
 * What each kind of heavy work takes beside the session, and what it gives: plain data
 * both, as it crosses threads.
 */
export interface HeavyWork {
  /** One shot, with all its inputs drawn `draws` times where that is not null. */
  readonly measure: {
    readonly takes: {
      readonly shotId: string;
      readonly facts: ClipFacts | null;
      readonly draws: number | null;
    };
    readonly gives: ShotResult;
  };
  /** A former shot's set-up looked for in pictures of another clip. */
  readonly carry: {
    readonly takes: {
      readonly sought: readonly SoughtPick[];
      readonly former: readonly ClipPicture[];
      readonly pictures: readonly ClipPicture[];
      readonly lens: LensData | null;
    };
    readonly gives: ReturnType<typeof findSetUp>;
  };
  readonly predict: { readonly takes: { readonly shotId: string }; readonly gives: ShotPrediction };
  /** The push of one shot, to tune on. */
  readonly track: {
    readonly takes: { readonly shotId: string; readonly facts: ClipFacts | null };
    readonly gives: ReturnType<typeof pushTrack>;
  };
  readonly tune: {
    readonly takes: { readonly request: TuneRequest; readonly tracks: ReadonlyMap<string, PushTrack> };
    readonly gives: TuneOutcome;
  };
  readonly "next-shot": {
    readonly takes: {
      readonly shotId: string;
      readonly ask: NextShot;
      readonly speeds: readonly ShotSpeed[];
    };
    readonly gives: NextShotReport;
  };
  /** The card of what to set, for the field. */
  readonly card: { readonly takes: HeavyWork["next-shot"]["takes"]; readonly gives: SpeedCard };
  readonly "write-up": {
    readonly takes: {
      readonly results: readonly ShotResult[];
      readonly facts: ReadonlyMap<string, ClipFacts>;
      readonly madeAt: string;
    };
    readonly gives: readonly WriteUpFile[];
  };
  /** What a picture shows that may be wanted: of no session. */
  readonly propose: {
    readonly takes: { readonly before: GreyImage; readonly after: GreyImage | null };
    readonly gives: FoundThings;
  };
  /** A curve by itself: of no session. */
  readonly curve: {
    readonly takes: { readonly samples: readonly CurveSample[]; readonly options: CurveOptions };
    readonly gives: ReturnType<typeof estimateCurve>;
  };
}

export type HeavyKind = keyof HeavyWork;
export type HeavyTask = {
  [K in HeavyKind]: { readonly kind: K } & HeavyWork[K]["takes"];
}[HeavyKind];
export type Gives<T extends HeavyTask> = HeavyWork[T["kind"]]["gives"];

/** What a follower is started with. */
export interface FollowStart {
  readonly seed: HandMark;
  readonly hands: readonly HandMark[];
  readonly exposureShare: number | null;
  /** s, of every frame of the clip. */
  readonly stampsS: readonly number[];
}

/** A picture for the followers of a thread, each known by its number. */
export interface FollowPicture {
  readonly frame: number;
  readonly image: GreyImage;
  /** Those that begin in this frame, at their hand marks. */
  readonly begin: readonly { readonly id: number; readonly start: FollowStart }[];
  /** Those that it is shown to. */
  readonly see: readonly number[];
}

/** What the watch of a background is started with; the first picture comes with it. */
export interface WatchStart {
  readonly frame: number;
  /** Taken out of the pictures; null without a profile. */
  readonly lens: LensData | null;
}

/** What a thread is told. It answers each message with one answer; `progress` may come before it. */
export type ToThread =
  /** `session` is left out when it is the one of the message before, or the task needs none. */
  | { readonly kind: "task"; readonly task: HeavyTask; readonly session?: Session }
  | { readonly kind: "follow-picture"; readonly picture: FollowPicture }
  | { readonly kind: "follow-end" }
  | { readonly kind: "watch-from"; readonly start: WatchStart; readonly image: GreyImage }
  | { readonly kind: "watch-see"; readonly frame: number; readonly image: GreyImage };

export type FromThread =
  /** 0 to 1, of this message's own work */
  | { readonly kind: "progress"; readonly fraction: number }
  | { readonly kind: "given"; readonly value: unknown }
  | { readonly kind: "failed"; readonly error: ThreadError };

/** What was thrown in the thread, with what a clone of an exception would lose. */
export interface ThreadError {
  readonly message: string;
  readonly stack: string;
  readonly fault: Fault | null;
}

/** What followers tell of themselves after each picture: those that have ended. */
export interface FollowSeen {
  readonly ended: readonly number[];
}

/** What each follower of a thread came to. */
export type FollowGives = ReadonlyMap<number, Followed>;
