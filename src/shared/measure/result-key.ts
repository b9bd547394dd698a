import type { ShotResult } from "../results/shot-result.ts";
import { canonicalText, digestOf } from "../session/canonical-text.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { holdsClockCheck } from "../session/holds-clock-check.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";

/** A result with the key of what it was computed from. */
export interface KeyedResult {
  readonly key: string;
  readonly result: ShotResult;
}

/**
 * Digest of all that a shot's result is computed from, names of points and things among it, because notices
 * carry them: the same key, by the same program, means the same result. What a person calls the shot, and
 * notes of it, changes none. Of the other shots of the camera only those that hold a check of its clock have
 * a part, as in the measurement itself.
 */
export function resultKey(filmed: FilmedShot, launch: LaunchInputs, facts: ClipFacts | null): string {
  return keyOf([withChecksAlone(filmed), launch, facts]);
}

/** The same of its track, in which what the launcher was tuned to has no part. */
export function trackKey(filmed: FilmedShot, facts: ClipFacts | null): string {
  return keyOf([withChecksAlone(filmed), facts]);
}

function withChecksAlone(filmed: FilmedShot): object {
  const { shot, points, ofSameCamera } = filmed;
  const { name: _name, notes: _notes, ...measured } = shot;
  const others = ofSameCamera.filter((one) => one.shot.id !== shot.id && holdsClockCheck(one.shot, points));
  return { ...filmed, shot: measured, ofSameCamera: others };
}

function keyOf(parts: readonly unknown[]): string {
  const text = canonicalText(parts);
  return `${digestOf(text)}-${text.length.toString(16)}`;
}
