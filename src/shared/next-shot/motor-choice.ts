import { launcherModel } from "../launchers/launcher-models.ts";
import { predictLaunch } from "../predict/predict-shot.ts";
import type { Quantity } from "../quantity/measured.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";

/** One of the launcher's motors in every mount. */
export interface MotorChoice {
  readonly name: string;
  /** null when it does not launch. */
  readonly speed: Quantity | null;
}

/**
 * The release speed with each of the loads that the launcher holds, as motors; none where
 * it holds one kind or none.
 */
export function motorChoices(launch: LaunchInputs): readonly MotorChoice[] {
  const { launcher, airframe } = launch;
  if (launcher === null) return [];
  return launcherModel(launcher)
    .loads(launcher, airframe)
    .map(({ name, ...loaded }) => ({
      name,
      speed: predictLaunch({ ...launch, ...loaded }).prediction?.quantities.releaseSpeed ?? null,
    }));
}
