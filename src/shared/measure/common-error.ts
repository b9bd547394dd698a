import type { BudgetLine } from "../results/shot-result.ts";
import { clockErrorOf } from "../session/clock-error.ts";
import { asFirstPicked } from "./carried-picks.ts";
import type { InputState } from "./input-state.ts";

/**
 * An error that all frames of a shot share: what one standard uncertainty of one input does to the travel and
 * the time of each of the track's points. Two shots with the same key share the error itself (one rod
 * measured once, one camera's capture rate).
 */
export interface CommonError {
  readonly key: string;
  readonly source: BudgetLine["source"];
  /** m and s at each point, for one standard uncertainty. */
  readonly travelM: readonly number[];
  readonly timeS: readonly number[];
}

/**
 * A name for the error of one input: what the document holds there, before and after the input is moved.
 * Where two shots hold the same number it is taken to be one measurement used twice: a rod length, picks that
 * were carried over, the capture rate of a camera.
 */
export function errorKey(stated: InputState, moved: InputState): string {
  const { shot } = stated;
  const camera = shot.cameraId ?? `of ${shot.id}`;
  // A rod or a lens may move the rate with it: then the error is the rod's.
  const isRate =
    moved.shot === stated.shot &&
    moved.lens === stated.lens &&
    moved.beyond === stated.beyond &&
    moved.driftMPerS === stated.driftMPerS &&
    moved.readoutS === stated.readoutS;
  const ofClock = moved.clockMoves.at(-1);
  if (isRate && ofClock !== undefined && moved.clockMoves !== stated.clockMoves) {
    if (ofClock.of === "rate") return `clock of camera ${camera}: ${JSON.stringify(ofClock.rate)}`;
    return `border ${ofClock.at} of the clip's parts in ${shot.id}`;
  }
  if (isRate && moved.stretch !== stated.stretch) return clockErrorOf(shot);
  if (moved.readoutS !== stated.readoutS) return `shutter of camera ${camera}`;
  if (moved.beyond.scale !== stated.beyond.scale)
    return `camera ${camera}, what its rods leave open: ${JSON.stringify([shot.scale, ...(shot.rods ?? [])].map(asFirstPicked))}`;
  if (moved.driftMPerS !== stated.driftMPerS)
    return `how the camera moved in ${shot.id}: ${JSON.stringify(moved.driftMPerS)}`;
  // Each flight, and each fall, was as far from the plane as it was.
  if (moved.beyond.plane !== stated.beyond.plane) return `how far from the plane ${shot.id} was`;
  if (moved.beyond.rollRad !== stated.beyond.rollRad)
    return `camera ${camera}, what its lines leave open: ${JSON.stringify([shot.plumb, shot.level ?? null].map(asFirstPicked))}`;
  if (moved.beyond.bend !== stated.beyond.bend)
    return `camera ${camera}, what its lens bends beside its profile`;
  if (moved.followedPx !== stated.followedPx)
    return `hand marks under the follower in ${shot.id}: ${JSON.stringify(moved.followedPx)}`;
  const ofLens = `lens of camera ${camera}`;
  return nameOf(
    [
      ...changed("shot", stated.shot, moved.shot),
      ...changed(ofLens, stated.lens, moved.lens),
      ...changed("axis", stated.axis, moved.axis),
    ],
    camera,
    shot.id,
  );
}

/** Of picks carried over, the error of the pick itself goes by what it was picked as, and is one for all. */
function nameOf(changes: readonly Change[], camera: string, shotId: string): string {
  const first = changes.filter(({ path }) => path.includes(CARRIED));
  const named = (first.length > 0 ? first : changes).map(
    ({ path, by }) => `${path.replace(CARRIED, "")}${by}`,
  );
  const isOwn = first.length === 0 && changes.some(({ foundAgain }) => foundAgain);
  // Picks lie in one camera's picture; lengths do not.
  const inPicture = changes.some(({ ofPlace }) => ofPlace);
  const where = isOwn ? `found again in ${shotId}, ` : inPicture ? `camera ${camera}, ` : "";
  return `${where}${named.join("; ")}`;
}

const CARRIED = ".carried";

interface Change {
  readonly path: string;
  /** ": before -> after" */
  readonly by: string;
  /** Whether a list of numbers changed: a place in the picture. */
  readonly ofPlace: boolean;
  /** Whether it is a place that was carried over, and what it was carried over from has not changed. */
  readonly foundAgain: boolean;
}

/** Every number, or list of numbers, that differs. */
function changed(path: string, before: unknown, after: unknown, isCarried = false): readonly Change[] {
  if (before === after) return [];
  if (isPlain(before) && isPlain(after) && !isNumbers(before)) {
    const names = new Set([...Object.keys(before), ...Object.keys(after)]);
    return [...names].flatMap((name) =>
      changed(
        `${path}.${name}`,
        (before as Record<string, unknown>)[name],
        (after as Record<string, unknown>)[name],
        "carried" in before && before.carried !== undefined,
      ),
    );
  }
  const [from, to] = [JSON.stringify(before), JSON.stringify(after)];
  if (from === to) return [];
  const ofPlace = Array.isArray(before) || Array.isArray(after);
  return [{ path, by: `: ${from} -> ${to}`, ofPlace, foundAgain: isCarried && ofPlace }];
}

function isPlain(value: unknown): value is object {
  return typeof value === "object" && value !== null;
}

function isNumbers(value: object): boolean {
  return Array.isArray(value) && value.every((one) => typeof one === "number");
}
