import { type PosePoint, rigidPose } from "./rigid-pose.ts";

/**
 * One mark on the flight plane: which point, when, where (m) and its standard
 * uncertainty (m, each coordinate).
 */
export interface PlaneMark {
  readonly point: number;
  readonly frame: number;
  /** Time of the frame, the same for all of its marks. */
  readonly timeS: number;
  /**
   * s by which this mark was exposed later than its frame's time (a shutter that reads row
   * by row); 0 when left out.
   */
  readonly lagS?: number;
  readonly x: number;
  readonly y: number;
  readonly u: number;
}

/**
 * The pitch reference line and the centre of gravity on it: distances from the forward point, towards
 * the aft point and above.
 */
export interface BodyAxis {
  readonly forward: number;
  readonly aft: number;
  readonly alongM: number;
  readonly aboveM: number;
}

/** Marks of one frame. */
export type FrameMarks = readonly PlaneMark[];

/**
 * Place of each point in the body frame: origin the centre of gravity, x forward along the
 * pitch reference line, y up.
 */
export type BodyShape = ReadonlyMap<number, readonly [number, number]>;

const ROUNDS = 4; // the means settle to 1e-6 m within two rounds on any set tried; four leave no doubt

/** Groups marks by frame, in order of time. */
export function byFrame(marks: readonly PlaneMark[]): readonly FrameMarks[] {
  const frames = new Map<number, PlaneMark[]>();
  for (const mark of marks) {
    const list = frames.get(mark.frame);
    if (list) list.push(mark);
    else frames.set(mark.frame, [mark]);
  }
  return [...frames.values()].sort((a, b) => (a[0] as PlaneMark).timeS - (b[0] as PlaneMark).timeS);
}

/**
 * The rigid shape that all frames agree on: generalised Procrustes without scaling. Starts from the mean
 * distance of the two axis points, then alternates pose of each frame and weighted mean place of each point,
 * holding the axis on its line.
 * Source: Gower, Psychometrika 40:33 (1975).
 * @returns the shape of every point seen together with two known ones; null when no
 *   frame shows both axis points
 */
export function bodyShape(frames: readonly FrameMarks[], axis: BodyAxis, rounds = ROUNDS): BodyShape | null {
  const separation = meanSeparation(frames, axis);
  if (separation === null) return null;
  let shape = new Map<number, readonly [number, number]>([
    [axis.forward, [axis.alongM, -axis.aboveM]],
    [axis.aft, [axis.alongM - separation, -axis.aboveM]],
  ]);
  for (let round = 0; round < rounds; round++) shape = improvedShape(frames, shape, axis);
  return shape;
}

function meanSeparation(frames: readonly FrameMarks[], axis: BodyAxis): number | null {
  let [sum, weights] = [0, 0];
  for (const marks of frames) {
    const a = marks.find((mark) => mark.point === axis.forward);
    const b = marks.find((mark) => mark.point === axis.aft);
    if (!a || !b) continue;
    const weight = 1 / (a.u * a.u + b.u * b.u);
    sum += weight * Math.hypot(a.x - b.x, a.y - b.y);
    weights += weight;
  }
  return weights > 0 && sum > 0 ? sum / weights : null;
}

function improvedShape(
  frames: readonly FrameMarks[],
  shape: ReadonlyMap<number, readonly [number, number]>,
  axis: BodyAxis,
): Map<number, readonly [number, number]> {
  const sums = new Map<number, [x: number, y: number, weight: number]>();
  for (const marks of frames) {
    const pose = rigidPose(posePoints(marks, shape));
    if (!pose.ok) continue;
    const [cos, sin] = [Math.cos(pose.value.angleRad), Math.sin(pose.value.angleRad)];
    for (const mark of marks) {
      const [dx, dy] = [mark.x - pose.value.x, mark.y - pose.value.y];
      const weight = 1 / (mark.u * mark.u);
      const sum = sums.get(mark.point) ?? [0, 0, 0];
      sum[0] += weight * (cos * dx + sin * dy);
      sum[1] += weight * (-sin * dx + cos * dy);
      sum[2] += weight;
      sums.set(mark.point, sum);
    }
  }
  const means = new Map<number, readonly [number, number]>();
  for (const [point, [x, y, weight]] of sums) means.set(point, [x / weight, y / weight]);
  return ontoAxis(means, axis);
}

/** Turns and shifts the means so that the axis lies on its line and the centre of gravity at the origin. */
function ontoAxis(
  means: ReadonlyMap<number, readonly [number, number]>,
  axis: BodyAxis,
): Map<number, readonly [number, number]> {
  const forward = means.get(axis.forward) as readonly [number, number];
  const aft = means.get(axis.aft) as readonly [number, number];
  const angle = Math.atan2(forward[1] - aft[1], forward[0] - aft[0]);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const placed = new Map<number, readonly [number, number]>();
  for (const [point, [x, y]] of means) {
    const [dx, dy] = [x - forward[0], y - forward[1]];
    placed.set(point, [cos * dx + sin * dy + axis.alongM, -sin * dx + cos * dy - axis.aboveM]);
  }
  return placed;
}

/** The marks of a frame whose place on the body is known, as the pose fit wants them. */
export function posePoints(marks: FrameMarks, shape: BodyShape): readonly PosePoint[] {
  const points: PosePoint[] = [];
  for (const { point, x, y, u } of marks) {
    const body = shape.get(point);
    if (body) points.push({ body, seen: [x, y], u });
  }
  return points;
}
