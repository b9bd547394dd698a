import type { GreyImage } from "../follow/grey-image.ts";
import { findHangingLines, type HangingLine } from "./find-hanging-lines.ts";
import { type FoundRod, findRods } from "./find-rods.ts";
import { type FoundTarget, findTargets } from "./find-targets.ts";
import type { FrameRun } from "./first-motion.ts";
import { stillAmong } from "./still-targets.ts";

/** What one picture shows that a person may want to take. */
export interface FoundThings {
  readonly targets: readonly (FoundTarget & {
    /** Whether it stands where it stood when the launch is over: it is not on what was thrown. */
    readonly still: boolean;
  })[];
  /** Of still targets, by their places in the list. */
  readonly rods: readonly FoundRod[];
  readonly lines: readonly HangingLine[];
}

/** What the program found in a clip. None of it counts until a person takes it. */
export interface Proposals extends FoundThings {
  /** The picture that was looked at: at rest, just before the first motion. */
  readonly frame: number;
  /** The frames in which most moves; null where nothing stands out. */
  readonly moves: FrameRun | null;
  /** Grey levels by which each frame differs from the one before. */
  readonly levels: readonly number[];
}

/**
 * Looks for targets, rods and hanging lines in a picture from before a launch.
 * @param after a picture from after it, null where there is none: then all targets count as still
 */
export function findThings(before: GreyImage, after: GreyImage | null): FoundThings {
  const found = findTargets(before);
  const still = after === null ? found.map(() => true) : stillAmong(found, findTargets(after));
  const targets = found.map((one, i) => ({ ...one, still: still[i] as boolean }));
  const places = targets.flatMap(({ still }, i) => (still ? [i] : []));
  const rods = findRods(
    before,
    places.map((i) => targets[i] as FoundTarget),
  ).map(([a, b]): FoundRod => [places[a] as number, places[b] as number]);
  return { targets, rods, lines: findHangingLines(before) };
}
