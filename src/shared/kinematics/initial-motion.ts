import { elementAt, lastOf } from "../quantity/known-element.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type BodyShape, type FrameMarks, type PlaneMark, posePoints } from "./body-shape.ts";
import { rigidPose } from "./rigid-pose.ts";

/** A first look at the motion: enough to know where to search, not a result. */
export interface InitialMotion {
  /** [frames], rad: pitch of each frame, unwrapped; frames with one mark take their neighbours'. */
  readonly angles: readonly number[];
  /** rad, direction from the first place to the last above the horizontal. */
  readonly directionRad: number;
  /** Whether the first frames show the airframe at rest. */
  readonly atRest: boolean;
  /** s: the earliest and latest instants at which motion may have started. */
  readonly startRange: readonly [number, number];
  /**
   * m/s², a typical acceleration of the push, and rad/s² for the pitch: they set the scale of
   * the search for smoothness. rad/m, the pitch's over the push's, 0 as long as it is not known.
   */
  readonly typical: { readonly translation: number; readonly angle: number; readonly arm: number };
}

const STILL_FRAMES = 5; // frames that must lie together for the airframe to be called at rest
const LEAST_TURNING = 1e-3; // rad/m: a pitch that does not move at all still needs a scale to search on
// displacement from home, in its own u: chance adds a frame to the motion once in 8000
const SEEN_IN_U = 3.65;
const FURTHER = 8;
const STARTING_FRAMES = 40; // the least that a start is looked for before motion is seen

/**
 * @returns the first look; "no-axis" when fewer than two frames show a pose, "no-motion" when
 *   nothing moves beyond the noise
 */
export function initialMotion(
  frames: readonly FrameMarks[],
  shape: BodyShape,
): Result<InitialMotion, "no-axis" | "no-motion"> {
  const seen: {
    readonly index: number;
    readonly x: number;
    readonly y: number;
    readonly angle: number;
    readonly u: number;
  }[] = [];
  frames.forEach((marks, index) => {
    const pose = rigidPose(posePoints(marks, shape));
    if (!pose.ok) return;
    const covariance = pose.value.covariance;
    const before = seen.at(-1)?.angle;
    seen.push({
      index,
      x: pose.value.x,
      y: pose.value.y,
      angle: before === undefined ? pose.value.angleRad : nearTurn(pose.value.angleRad, before),
      u: Math.sqrt(Math.max(covariance[0]?.[0] ?? 0, covariance[1]?.[1] ?? 0)),
    });
  });
  const first = seen[0];
  const last = seen.at(-1);
  if (!first || !last || seen.length < 2 * STILL_FRAMES)
    return refuse("no-axis", { frames: seen.length, needed: 2 * STILL_FRAMES });
  const directionRad = Math.atan2(last.y - first.y, last.x - first.x);
  const [cos, sin] = [Math.cos(directionRad), Math.sin(directionRad)];
  const travelled = cos * (last.x - first.x) + sin * (last.y - first.y);
  const u = Math.hypot(first.u, last.u) / Math.SQRT2;
  if (travelled < 10 * u) return refuse("no-motion", { travelledM: travelled, neededM: 10 * u });

  const moves = displacements(frames, shape, directionRad);
  const time = (i: number) => elementAt(moves, i).timeS;
  // The first frame from which on every displacement is beyond chance.
  let moved = moves.length - 1;
  while (moved > 0 && elementAt(moves, moved - 1).inU > SEEN_IN_U) moved--;
  const atRest = moved > STILL_FRAMES;
  const duration = time(moves.length - 1) - time(moved);
  // Uniform acceleration from rest over the whole window: right within a factor of a few,
  // which is all that is asked.
  const translation = (2 * travelled) / duration ** 2;
  const { least, most } = seen.reduce(
    (range, { angle }) => ({ least: Math.min(range.least, angle), most: Math.max(range.most, angle) }),
    { least: first.angle, most: first.angle },
  );
  const swing = most - least;
  return ok({
    angles: filledAngles(frames.length, seen),
    directionRad,
    atRest,
    startRange: atRest ? [earliestStart(moves, moved), time(moved)] : [time(0), time(0)],
    typical: {
      translation,
      angle: Math.max((2 * swing) / duration ** 2, LEAST_TURNING * translation),
      arm: 0,
    },
  });
}

/**
 * s, before which the motion did not start. A push that builds up with the k-th power of time takes t to be
 * seen and 8^(1/k) t to go eight times as far: three times the difference is enough for any k up to 7.
 */
function earliestStart(moves: readonly Displacement[], moved: number): number {
  const seen = elementAt(moves, moved);
  const further = moves.find(({ inU }, i) => i >= moved && inU > FURTHER * SEEN_IN_U) ?? lastOf(moves);
  const early = Math.min(
    seen.timeS - 3 * (further.timeS - seen.timeS),
    elementAt(moves, Math.max(1, moved - STARTING_FRAMES)).timeS,
  );
  return Math.max(elementAt(moves, 1).timeS, early);
}

/** How far a frame's marks lie from where the same points were in the first frames, in its own u. */
interface Displacement {
  readonly timeS: number;
  readonly inU: number;
}

/**
 * Displacement along the launch direction of every frame with a mark of a point that the first frames show:
 * one such mark tells that the airframe still rests, whatever else is missing.
 */
function displacements(
  frames: readonly FrameMarks[],
  shape: BodyShape,
  directionRad: number,
): readonly Displacement[] {
  const [cos, sin] = [Math.cos(directionRad), Math.sin(directionRad)];
  const known = frames.map((marks) => marks.filter(({ point }) => shape.has(point)));
  const along = ({ x, y }: PlaneMark) => cos * x + sin * y;
  const homes = new Map<number, WeightedSum>();
  for (const mark of known
    .filter((marks) => marks.length > 0)
    .slice(0, STILL_FRAMES)
    .flat()) {
    const weight = 1 / (mark.u * mark.u);
    const sum = homes.get(mark.point) ?? { sum: 0, weight: 0 };
    homes.set(mark.point, { sum: sum.sum + weight * along(mark), weight: sum.weight + weight });
  }
  return known.flatMap((marks) => {
    let [sum, weight] = [0, 0];
    for (const mark of marks) {
      const home = homes.get(mark.point);
      if (home === undefined) continue;
      const own = 1 / (mark.u * mark.u + 1 / home.weight);
      sum += own * (along(mark) - home.sum / home.weight);
      weight += own;
    }
    return weight > 0 ? [{ timeS: elementAt(marks, 0).timeS, inU: sum / Math.sqrt(weight) }] : [];
  });
}

interface WeightedSum {
  readonly sum: number;
  readonly weight: number;
}

function nearTurn(angle: number, before: number): number {
  return angle + 2 * Math.PI * Math.round((before - angle) / (2 * Math.PI));
}

/** Pitch of every frame: straight lines between the frames that have one. */
function filledAngles(
  count: number,
  seen: readonly { readonly index: number; readonly angle: number }[],
): number[] {
  let next = 0;
  return Array.from({ length: count }, (_, index) => {
    while (next < seen.length && (seen[next] as { index: number }).index < index) next++;
    const after = seen[Math.min(next, seen.length - 1)] as { index: number; angle: number };
    const before = seen[Math.max(next - 1, 0)] as { index: number; angle: number };
    if (after.index <= index || after.index === before.index) return after.angle;
    if (before.index >= index) return before.angle;
    const part = (index - before.index) / (after.index - before.index);
    return before.angle + part * (after.angle - before.angle);
  });
}
