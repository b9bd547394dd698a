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
   * the search for smoothness.
   */
  readonly typical: { readonly translation: number; readonly angle: number };
}

const STILL_FRAMES = 5; // frames that must lie together for the airframe to be called at rest
const LEAST_TURNING = 1e-3; // rad/m: a pitch that does not move at all still needs a scale to search on
const SEEN_IN_U = 3.65; // displacement from home, in its own u: chance adds a frame to the motion once in 8000

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
  const time = (i: number) =>
    ((frames[(seen[i] as { index: number }).index] as FrameMarks)[0] as PlaneMark).timeS;
  const directionRad = Math.atan2(last.y - first.y, last.x - first.x);
  const [cos, sin] = [Math.cos(directionRad), Math.sin(directionRad)];
  const places = seen.map(({ x, y, u }) => ({ s: cos * x + sin * y, u }));
  const travelled = lastOf(places).s - elementAt(places, 0).s;
  const u = Math.hypot(first.u, last.u) / Math.SQRT2;
  if (travelled < 10 * u) return refuse("no-motion", { travelledM: travelled, neededM: 10 * u });

  const home = weightedMean(places.slice(0, STILL_FRAMES));
  // The first frame from which on every displacement is beyond chance.
  let moved = places.length - 1;
  while (moved > 0 && isBeyond(elementAt(places, moved - 1), home)) moved--;
  const atRest = moved > STILL_FRAMES;
  const end = time(seen.length - 1);
  const duration = end - time(moved);
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
    startRange: atRest ? [time(Math.max(1, moved - 40)), time(moved)] : [time(0), time(0)],
    typical: { translation, angle: Math.max((2 * swing) / duration ** 2, LEAST_TURNING * translation) },
  });
}

/** A place along the launch direction with its u, m. */
interface Place {
  readonly s: number;
  readonly u: number;
}

function weightedMean(places: readonly Place[]): Place {
  const weight = places.reduce((sum, { u }) => sum + 1 / (u * u), 0);
  return { s: places.reduce((sum, { s, u }) => sum + s / (u * u), 0) / weight, u: 1 / Math.sqrt(weight) };
}

function isBeyond(place: Place, home: Place): boolean {
  return place.s - home.s > SEEN_IN_U * Math.hypot(place.u, home.u);
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
