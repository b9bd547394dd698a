import { predictLaunch } from "../predict/predict-shot.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotResult } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";

/** The result of a shot that must not be measured: why, then what the model alone says. */
export function refusedShot(shotId: string, launch: LaunchInputs, refusal: ShotNotice): ShotResult {
  const { prediction, notices } = predictLaunch(launch);
  return {
    shotId,
    measurement: null,
    prediction,
    comparison: null,
    notices: [refusal, ...notices],
  };
}
