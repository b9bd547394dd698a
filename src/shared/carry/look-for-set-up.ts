import type { Result } from "../quantity/result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { OtherSetUp } from "./camera-between.ts";
import type { FoundSetUp } from "./find-set-up.ts";

/** What looking for a former shot's set-up on another clip came to. */
export interface LookedForSetUp {
  readonly outcome: Result<FoundSetUp, OtherSetUp>;
  readonly rates: RatesBetween;
}

/**
 * What two files tell of the rates they were taken at. one: both name it, and it is one. untold: they play at
 * one rate, and neither names the other. differ: the camera was set otherwise.
 */
export type RatesBetween = "one" | "untold" | "differ";

const SAME_RATE = 0.01; // relative; clips of one setting differ by some parts in a thousand

type Rates = Pick<ClipFacts, "playbackRateHz" | "captureRateHz">;

export function ratesBetween(one: Rates, other: Rates): RatesBetween {
  const [a, b] = [one.captureRateHz ?? 0, other.captureRateHz ?? 0];
  if (!isNear(one.playbackRateHz, other.playbackRateHz) || !isNear(a, b)) return "differ";
  return a === 0 ? "untold" : "one";
}

function isNear(a: number, b: number): boolean {
  return Math.abs(a - b) <= SAME_RATE * Math.max(a, b);
}

const LOOKS = 8; // pictures of a clip in which the airframe is looked for at rest

/** The frames of a clip that are looked at, in order: some spread over all of it. */
export function framesToLookAt(count: number): readonly number[] {
  const frames = Array.from({ length: LOOKS }, (_, i) => Math.floor((i * (count - 1)) / LOOKS));
  return [...new Set(frames)].filter((frame) => frame >= 0);
}
