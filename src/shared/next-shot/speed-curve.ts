import { findRoot } from "../numeric/find-root.ts";

export interface SpeedPoint {
  readonly x: number;
  readonly speed: number;
}

/** Runs of neighbouring places, x increasing, between which the launcher launches throughout. */
export type SpeedCurve = readonly (readonly SpeedPoint[])[];

const STEPS = 32;
const EDGE_HALVINGS = 10; // of one step: a thousandth of it; a ram that barely moves takes long to follow
const GOLDEN = (Math.sqrt(5) - 1) / 2;
// shrinks two steps to 1e-5 of them; an extreme is flat, so its value is good to 1e-10
const GOLDEN_STEPS = 24;

/**
 * Release speed over a setting, looked at in 32 equal steps; where it begins and ceases to launch is closed
 * in on, and so is every rise that turns into a fall or the other way, so that nothing is missed that is
 * wider than two steps. It need not be monotone.
 * @param speedAt null where the launcher does not launch
 */
export function speedCurve(speedAt: (x: number) => number | null, low: number, high: number): SpeedCurve {
  const grid = Array.from({ length: STEPS + 1 }, (_, i) => low + ((high - low) * i) / STEPS);
  const seen = grid.map((x) => ({ x, speed: speedAt(x) }));
  const runs: SpeedPoint[][] = [];
  let run: SpeedPoint[] = [];
  seen.forEach(({ x, speed }, i) => {
    const before = seen[i - 1];
    if (speed !== null) {
      if (before !== undefined && before.speed === null) {
        const edge = edgeOf(speedAt, x, before.x);
        if (edge !== null) run.push(edge);
      }
      run.push({ x, speed });
    } else if (before !== undefined && before.speed !== null) {
      const edge = edgeOf(speedAt, before.x, x);
      runs.push(edge === null ? run : [...run, edge]);
      run = [];
    }
  });
  if (run.length > 0) runs.push(run);
  return runs.map((one) => withTurns(speedAt, one));
}

/** The last place towards `outside` that still launches; null when that is `inside` itself. */
function edgeOf(speedAt: (x: number) => number | null, inside: number, outside: number): SpeedPoint | null {
  let [launches, not] = [inside, outside];
  let found: SpeedPoint | null = null;
  for (let i = 0; i < EDGE_HALVINGS; i++) {
    const middle = (launches + not) / 2;
    const speed = speedAt(middle);
    if (speed === null) not = middle;
    else [launches, found] = [middle, { x: middle, speed }];
  }
  return found;
}

function withTurns(speedAt: (x: number) => number | null, run: readonly SpeedPoint[]): readonly SpeedPoint[] {
  const turns = run.flatMap((point, i): SpeedPoint[] => {
    const [before, after] = [run[i - 1], run[i + 1]];
    if (before === undefined || after === undefined) return [];
    const sign = Math.sign(point.speed - before.speed);
    if (sign === 0 || Math.sign(point.speed - after.speed) !== sign) return [];
    const extreme = extremeBetween((x) => sign * (speedAt(x) ?? 0), before.x, after.x);
    const speed = speedAt(extreme);
    return speed === null || extreme === point.x ? [] : [{ x: extreme, speed }];
  });
  return turns.length === 0 ? run : [...run, ...turns].sort((a, b) => a.x - b.x);
}

/** Golden-section search for the greatest value between a and b. */
function extremeBetween(f: (x: number) => number, a: number, b: number): number {
  let [from, to] = [a, b];
  let [x1, x2] = [to - GOLDEN * (to - from), from + GOLDEN * (to - from)];
  let [f1, f2] = [f(x1), f(x2)];
  for (let i = 0; i < GOLDEN_STEPS; i++) {
    if (f1 < f2) {
      from = x1;
      [x1, f1] = [x2, f2];
      x2 = from + GOLDEN * (to - from);
      f2 = f(x2);
    } else {
      to = x2;
      [x2, f2] = [x1, f1];
      x1 = to - GOLDEN * (to - from);
      f1 = f(x1);
    }
  }
  return (from + to) / 2;
}

const ROOT_TOLERANCE = 1e-10; // of the whole range
const MET = 1e-6; // of the wanted speed: more is a jump, not a root

/**
 * Every setting that gives the wanted speed, x increasing, closed in on between
 * neighbouring places of the curve.
 */
export function settingsGiving(
  wanted: number,
  curve: SpeedCurve,
  speedAt: (x: number) => number | null,
): readonly number[] {
  const all = curve.flat();
  const tolerance = ROOT_TOLERANCE * ((all.at(-1)?.x ?? 0) - (all[0]?.x ?? 0));
  const miss = (x: number) => (speedAt(x) ?? 0) - wanted;
  return curve.flatMap((run) =>
    run.flatMap((point, i): number[] => {
      const before = run[i - 1];
      if (point.speed === wanted) return [point.x];
      if (before === undefined || (before.speed - wanted) * (point.speed - wanted) >= 0) return [];
      const x = findRoot(miss, before.x, before.speed - wanted, point.x, point.speed - wanted, tolerance);
      return Math.abs(miss(x)) <= MET * Math.abs(wanted) ? [x] : [];
    }),
  );
}

/** The slowest and the fastest place of a curve; null when it is empty. */
export function extremesOf(
  points: readonly SpeedPoint[],
): { readonly slowest: SpeedPoint; readonly fastest: SpeedPoint } | null {
  const [first, ...rest] = points;
  if (first === undefined) return null;
  return {
    slowest: rest.reduce((least, one) => (one.speed < least.speed ? one : least), first),
    fastest: rest.reduce((most, one) => (one.speed > most.speed ? one : most), first),
  };
}

const NODES = 8; // u is read off in straight lines between so many places of a run

/** Places of a curve at which uncertainties are computed, its ends among them. */
export function nodesOf(curve: SpeedCurve): readonly number[] {
  return curve.flatMap((run) => {
    const step = Math.max(1, Math.floor((run.length - 1) / NODES));
    return run.filter((_, i) => i % step === 0 || i === run.length - 1).map(({ x }) => x);
  });
}
