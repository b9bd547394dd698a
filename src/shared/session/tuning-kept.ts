import { isOfOuting, type OutingShot, outingShotOf, outingShots } from "./outings.ts";
import { sameJson } from "./patch.ts";
import type { ListedTuning, Session, Shot } from "./schema.ts";
import { whatTookPart } from "./what-took-part.ts";

/**
 * A session after an edit, tuned values dropped when something they rest on was changed: the launcher as
 * stated, the mass or balance of an airframe, a camera, or a shot the launcher was tuned on. What a person
 * chose to tune stays. Shots that were removed, or that another launcher threw, leave the lists.
 */
export function tuningKept(before: Session, after: Session): Session {
  const { tunings } = after;
  if (tunings === undefined) return after;
  const kept = tunings.map((tuning) => {
    const was = before.tunings?.find(({ launcherId }) => launcherId === tuning.launcherId);
    return tuning === was ? keptOne(before, after, tuning) : tuning;
  });
  return kept.every((one, i) => one === tunings[i]) ? after : { ...after, tunings: kept };
}

function keptOne(before: Session, after: Session, tuning: ListedTuning): ListedTuning {
  const { launcherId, shotIds, heldOutShotIds } = tuning;
  const isThere = (id: string) =>
    [...after.shots, ...outingShots(after)].some((shot) => shot.id === id && shot.launcherId === launcherId);
  const gone = [...shotIds, ...heldOutShotIds].some((id) => !isThere(id));
  const stale = tuning.tuned !== null && restsOnOther(before, after, tuning);
  if (!gone && !stale) return tuning;
  const { from, ...rest } = tuning;
  return {
    ...rest,
    shotIds: shotIds.filter(isThere),
    heldOutShotIds: heldOutShotIds.filter(isThere),
    tuned: stale ? null : tuning.tuned,
    ...(from !== undefined && !stale && { from }),
  };
}

function restsOnOther(before: Session, after: Session, { launcherId, shotIds }: ListedTuning): boolean {
  const statedIn = ({ launchers }: Session) => launchers.find(({ id }) => id === launcherId);
  if (statedIn(before) !== statedIn(after)) return true;
  const shotIn = ({ shots }: Session, id: string) => shots.find((shot) => shot.id === id);
  return shotIds.some((id) => {
    if (isOfOuting(id)) return !sameOutingShot(outingShotOf(before, id), outingShotOf(after, id));
    const [was, is] = [shotIn(before, id), shotIn(after, id)];
    return !alike(was, is) || (was !== undefined && is !== undefined && thrownOther(before, was, after, is));
  });
}

/** Whether something else than the shot itself is another one: its camera, its airframe's mass or balance. */
function thrownOther(before: Session, was: Shot, after: Session, is: Shot): boolean {
  const cameraIn = ({ cameras }: Session, { cameraId }: Shot) => cameras.find(({ id }) => id === cameraId);
  if (cameraIn(before, was) !== cameraIn(after, is)) return true;
  const [a, b] = [whatTookPart(before, was).airframe, whatTookPart(after, is).airframe];
  return a.massKg !== b.massKg || a.centreOfGravity !== b.centreOfGravity;
}

/** The same but for what a person calls it and writes beside it. */
function alike(a: Shot | undefined, b: Shot | undefined): boolean {
  if (a === b) return true;
  if (a === undefined || b === undefined) return false;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Shot>;
  return [...keys].every((key) => key === "name" || key === "notes" || a[key] === b[key]);
}

/** The same numbers of the same launcher, with errors of the same cameras. */
function sameOutingShot(was: OutingShot | null, is: OutingShot | null): boolean {
  if (was === is) return true;
  if (was === null || is === null || was.launcherId !== is.launcherId) return false;
  if (was.outing === is.outing) return true;
  return (
    sameJson({ ...was.shot, name: "" }, { ...is.shot, name: "" }) &&
    sameJson([was.massKg, was.outing.cameras], [is.massKg, is.outing.cameras])
  );
}
