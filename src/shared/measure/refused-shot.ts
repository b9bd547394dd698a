import { predictShot } from "../predict/predict-shot.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotResult } from "../results/shot-result.ts";
import type { Session, Shot } from "../session/schema.ts";

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
