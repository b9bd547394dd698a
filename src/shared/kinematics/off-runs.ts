import { medianOf, quantileOf } from "../numeric/order-statistics.ts";
import type { PlaneMark } from "./body-shape.ts";
import type { PlaneResidual } from "./mark-residuals.ts";

/**
 * Marks of one point in successive frames that seem to lie off together, and how clearly (chi², 2 freedoms).
 */
export interface SuspectedRun {
  readonly marks: readonly PlaneMark[];
  readonly clearness: number;
}

const SHORTEST = 4; // marks: fewer are judged one by one
const CLIP = 6; // noise widths: one mark far off is not a run
// chi² of two freedoms that noise reaches in a million tries, and a margin for errors that hang together a
// little
const LEAST_CLEARNESS = 45;
const LEAST_OFF = 2; // noise widths, mean over the run
const LEAST_SHARE = 0.7; // of the run's marks that lie off that way by half as much
// of the mean, within three frames of each end: a motion not followed has no such edge
const LEAST_STEP = 0.5;
const EDGE = 3;

/** A mark against the other points of its frame: [x, y] in noise widths of that difference. */
interface Contrast {
  readonly mark: PlaneMark;
  readonly x: number;
  readonly y: number;
}

/**
 * For each point the successive marks that lie off together most clearly, the clearest first. Each mark is
 * held against the other points of its frame, so that a motion that the fit does not follow, which moves them
 * all, counts for nothing. Where only two points are marked together both stand here: which of them is at
 * fault another fit has to tell.
 */
export function suspectedRuns(residuals: readonly PlaneResidual[]): readonly SuspectedRun[] {
  const points = contrasts(residuals);
  // the lower third: runs may hold half of the marks of a short clip
  const third = quantileOf(
    [...points.values()].flat().map(({ x, y }) => Math.hypot(x, y)),
    1 / 3,
  );
  const width = Math.max(1, third / Math.sqrt(-2 * Math.log(2 / 3)));
  return [...points.values()]
    .flatMap((marks) => clearestRun(marks, width) ?? [])
    .sort((a, b) => b.clearness - a.clearness);
}

function contrasts(residuals: readonly PlaneResidual[]): ReadonlyMap<number, readonly Contrast[]> {
  const frames = new Map<number, PlaneResidual[]>();
  for (const residual of residuals) {
    const list = frames.get(residual.mark.frame);
    if (list) list.push(residual);
    else frames.set(residual.mark.frame, [residual]);
  }
  const points = new Map<number, Contrast[]>();
  for (const together of frames.values()) {
    for (const { mark, dx, dy } of together) {
      const others = together.filter((other) => other.mark.point !== mark.point);
      if (others.length === 0) continue;
      const otherU = Math.sqrt(others.reduce((sum, other) => sum + other.mark.u ** 2, 0)) / others.length;
      const width = Math.hypot(mark.u, otherU);
      const x = (dx - medianOf(others.map((other) => other.dx))) / width;
      const y = (dy - medianOf(others.map((other) => other.dy))) / width;
      const list = points.get(mark.point);
      if (list) list.push({ mark, x, y });
      else points.set(mark.point, [{ mark, x, y }]);
    }
  }
  for (const [point, marks] of points) {
    const [x, y] = [medianOf(marks.map((one) => one.x)), medianOf(marks.map((one) => one.y))];
    points.set(
      point,
      marks.map((one) => ({ mark: one.mark, x: one.x - x, y: one.y - y })),
    );
  }
  return points;
}

function clearestRun(marks: readonly Contrast[], width: number): SuspectedRun | null {
  const clipped = marks.map(({ x, y }) => {
    const [a, b] = [x / width, y / width];
    const shrink = Math.min(1, CLIP / Math.hypot(a, b));
    return [a * shrink, b * shrink] as const;
  });
  const sums = runningSums(clipped);
  let best: { readonly from: number; readonly to: number; readonly clearness: number } | null = null;
  for (let length = SHORTEST; length <= marks.length / 2; length += Math.max(1, Math.floor(length / 8))) {
    for (let from = 0; from + length <= marks.length; from++) {
      const [x, y] = between(sums, from, from + length);
      const clearness = (x * x + y * y) / length;
      if (clearness > (best?.clearness ?? LEAST_CLEARNESS)) best = { from, to: from + length, clearness };
    }
  }
  if (best === null || !isRun(clipped, best.from, best.to)) return null;
  const run = marks.slice(best.from, best.to).map(({ mark }) => mark);
  return { marks: run, clearness: best.clearness };
}

type Pair = readonly [x: number, y: number];

function isRun(clipped: readonly Pair[], from: number, to: number): boolean {
  const inside = clipped.slice(from, to);
  const [x, y] = meanOf(inside);
  const off = Math.hypot(x, y);
  if (off < LEAST_OFF) return false;
  const along = ([a, b]: Pair) => (a * x + b * y) / off;
  const share = inside.filter((one) => along(one) > off / 2).length / inside.length;
  const stepsAt = (within: readonly Pair[], outside: readonly Pair[]) =>
    outside.length === 0 || along(meanOf(within)) - along(meanOf(outside)) > LEAST_STEP * off;
  return (
    share >= LEAST_SHARE &&
    stepsAt(inside.slice(0, EDGE), clipped.slice(Math.max(0, from - EDGE), from)) &&
    stepsAt(inside.slice(-EDGE), clipped.slice(to, to + EDGE))
  );
}

function meanOf(pairs: readonly Pair[]): Pair {
  const [x, y] = between(runningSums(pairs), 0, pairs.length);
  return [x / pairs.length, y / pairs.length];
}

function runningSums(pairs: readonly Pair[]): readonly Pair[] {
  const sums: Pair[] = [[0, 0]];
  pairs.forEach(([a, b], i) => {
    sums.push([sums[i][0] + a, sums[i][1] + b]);
  });
  return sums;
}

function between(sums: readonly Pair[], from: number, to: number): Pair {
  return [sums[to][0] - sums[from][0], sums[to][1] - sums[from][1]];
}
