import type { ClipFacts } from "../session/clip-facts.ts";
import type { Session } from "../session/schema.ts";
import type { ShotResult } from "./shot-result.ts";

/**
 * Everything Loftmark can say of one shot from the session and the facts of its clip.
 * @throws RangeError when the session has no such shot: the caller's bug
 */
export function measureShot(session: Session, shotId: string, _facts: ClipFacts | null): ShotResult {
  if (!session.shots.some((shot) => shot.id === shotId)) throw new RangeError(`no shot "${shotId}"`);
  return { shotId, measurement: null, prediction: null, comparison: null, notices: [] };
}
