import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { Shot } from "../../shared/session/schema.ts";

/**
 * The frame at release, else the middle marked one: where the airframe is in view. Without marks the one that
 * was found to lie before first motion, or the first.
 */
export function frameWorthSeeing(shot: Shot | null, result: ShotResult | null, found = 0): number {
  if (shot === null) return 0;
  const release = result?.measurement?.poses.find((pose) => pose.timeS >= 0);
  if (release !== undefined) return release.frame;
  return shot.marks[Math.floor(shot.marks.length / 2)]?.frame ?? found;
}
