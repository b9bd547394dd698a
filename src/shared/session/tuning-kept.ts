import type { Session, Shot } from "./schema.ts";

/**
 * A session after an edit, its tuned values dropped when something they rest on was changed: the launcher as
 * stated, the airframe's mass or balance, a camera, or a shot the launcher was tuned on. What a person chose
 * to tune stays. Removed shots leave the lists.
 */
export function tuningKept(before: Session, after: Session): Session {
  const { tuning } = after;
  if (tuning === undefined || tuning !== before.tuning) return after;
  const there = (id: string) => after.shots.some((shot) => shot.id === id);
  const gone = [...tuning.shotIds, ...tuning.heldOutShotIds].some((id) => !there(id));
  const stale = tuning.tuned !== null && restsOnOther(before, after, tuning.shotIds);
  if (!gone && !stale) return after;
  return {
    ...after,
    tuning: {
      ...tuning,
      shotIds: tuning.shotIds.filter(there),
      heldOutShotIds: tuning.heldOutShotIds.filter(there),
      tuned: stale ? null : tuning.tuned,
    },
  };
}

function restsOnOther(before: Session, after: Session, shotIds: readonly string[]): boolean {
  if (before.launcher !== after.launcher || before.cameras !== after.cameras) return true;
  if (before.airframe.massKg !== after.airframe.massKg) return true;
  if (before.airframe.centreOfGravity !== after.airframe.centreOfGravity) return true;
  const shotOf = ({ shots }: Session, id: string) => shots.find((shot) => shot.id === id);
  return shotIds.some((id) => !alike(shotOf(before, id), shotOf(after, id)));
}

/** The same but for what a person calls it and writes beside it. */
function alike(a: Shot | undefined, b: Shot | undefined): boolean {
  if (a === b) return true;
  if (a === undefined || b === undefined) return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Shot>;
  return [...keys].every((key) => key === "name" || key === "notes" || a[key] === b[key]);
}
