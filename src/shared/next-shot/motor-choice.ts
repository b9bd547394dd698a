import { launcherModel } from "../launchers/launcher-models.ts";
import { predictShot } from "../predict/predict-shot.ts";
import type { Quantity } from "../quantity/measured.ts";
import type { Session, Shot } from "../session/schema.ts";

/** One of the launcher's motors in every mount. */
export interface MotorChoice {
  readonly name: string;
  /** null when it does not launch. */
  readonly speed: Quantity | null;
}

/** The release speed with each of the loads that the launcher holds, as motors; none where it holds one kind or none. */
export function motorChoices(session: Session, shot: Shot): readonly MotorChoice[] {
  const { launcher } = session;
  if (launcher === null) return [];
  return launcherModel(launcher)
    .loads(session, launcher)
    .map((load) => ({
      name: load.name,
      speed: predictShot(load.session, shot).prediction?.quantities.releaseSpeed ?? null,
    }));
}
