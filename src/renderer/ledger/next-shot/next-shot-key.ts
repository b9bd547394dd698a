import type { ShotSpeed } from "../../../shared/next-shot/repeats.ts";
import { launchInputs } from "../../../shared/session/launch-inputs.ts";
import type { NextShot, Session, Shot } from "../../../shared/session/schema.ts";

/** What a report rests on, as text: marks and clips of the shots do not touch it but through their speeds. */
export function nextShotKey(
  session: Session,
  shot: Shot,
  ask: NextShot,
  speeds: readonly ShotSpeed[],
): string {
  const gauges = session.shots.map(({ conditions }) => conditions.gaugePressurePa);
  return JSON.stringify([launchInputs(session, shot), gauges, shot.id, ask, speeds]);
}
