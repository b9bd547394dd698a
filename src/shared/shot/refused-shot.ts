import type { Session, Shot } from "../session/schema.ts";
import type { ShotNotice } from "./notices/shot-notices.ts";
import { predictShot } from "./predict-shot.ts";
import type { ShotResult } from "./shot-result.ts";

/** The result of a shot that must not be measured: why, then what the model alone says. */
export function refusedShot(session: Session, shot: Shot, refusal: ShotNotice): ShotResult {
  const { prediction, notices } = predictShot(session, shot);
  return {
    shotId: shot.id,
    measurement: null,
    prediction,
    comparison: null,
    notices: [refusal, ...notices],
  };
}
