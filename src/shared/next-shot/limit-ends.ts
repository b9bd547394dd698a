import { elementAt, lastOf } from "../quantity/known-element.ts";
import { isInside, type LimitCheck } from "./limits.ts";
import type { LimitName } from "./next-notices.ts";
import type { SpeedCurve, SpeedPoint } from "./speed-curve.ts";

/** Settings from `from` to `to` at which a limit is not kept. */
export interface LimitEnd {
  readonly name: LimitName;
  readonly from: number;
  readonly to: number;
}

/** A speed that stays inside all limits, and which limit stands in the way of a further one. */
export interface InsideSpeed extends SpeedPoint {
  readonly bound: readonly LimitName[];
}

// of one step of the curve, a thirty-second of the range: finer than any setting can be set
const HALVINGS = 14;

/**
 * The stretches of the setting in which each limit is passed or in doubt, their borders closed in on.
 * @param checksAt limits at a setting; null where the launcher does not launch
 */
export function limitEnds(
  curve: SpeedCurve,
  checksAt: (x: number) => readonly LimitCheck[] | null,
): readonly LimitEnd[] {
  const failing = (x: number): readonly LimitName[] =>
    (checksAt(x) ?? []).filter((check) => !isInside([check])).map(({ name }) => name);
  return curve.flatMap((run) => {
    const seen = run.map(({ x }) => ({ x, names: failing(x) }));
    const all = [...new Set(seen.flatMap(({ names }) => names))];
    return all.flatMap((name) => {
      const ends: LimitEnd[] = [];
      let from: number | null = null;
      seen.forEach(({ x, names }, i) => {
        const fails = names.includes(name);
        if (fails && from === null) {
          const before = seen[i - 1];
          from = before === undefined ? x : border(before.x, x, (at) => failing(at).includes(name));
        } else if (!fails && from !== null) {
          const before = elementAt(seen, i - 1);
          ends.push({ name, from, to: border(x, before.x, (at) => failing(at).includes(name)) });
          from = null;
        }
      });
      if (from !== null) ends.push({ name, from, to: lastOf(seen).x });
      return ends;
    });
  });
}

/** The place farthest from `inside` towards `outside` that does not fail yet. */
function border(inside: number, outside: number, fails: (x: number) => boolean): number {
  let [good, bad] = [inside, outside];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (good + bad) / 2;
    if (fails(middle)) bad = middle;
    else good = middle;
  }
  return good;
}

/**
 * Slowest and fastest speed inside all limits: among the places of the curve and the borders of the limits'
 * ends, those that lie in no end and keep the limits when asked in full, which is what an answer is held to
 * as well. A border found from read-off uncertainties may miss by a little; it is then moved inwards.
 * @param keeps whether all limits are kept at a setting, uncertainties computed there
 * @returns null when no setting keeps them all
 */
export function insideSpeeds(
  curve: SpeedCurve,
  ends: readonly LimitEnd[],
  speedAt: (x: number) => number | null,
  keeps: (x: number) => boolean,
): { readonly slowest: InsideSpeed; readonly fastest: InsideSpeed } | null {
  const found = curve.flatMap((run) => [
    ...pointsOutside(run, ends),
    ...bordersInside(run, ends, speedAt, keeps),
  ]);
  const slowest = found.toSorted((a, b) => a.speed - b.speed).find(({ x }) => keeps(x));
  const fastest = found.toSorted((a, b) => b.speed - a.speed).find(({ x }) => keeps(x));
  return slowest === undefined || fastest === undefined ? null : { slowest, fastest };
}

/** The places of a run that lie in no end. */
function pointsOutside(run: readonly SpeedPoint[], ends: readonly LimitEnd[]): readonly InsideSpeed[] {
  const [low, high] = [elementAt(run, 0).x, lastOf(run).x];
  // The outermost places of a run belong to an end that reaches them.
  const isIn = (x: number, { from, to }: LimitEnd) =>
    (x > from && x < to) || (x === from && from === low) || (x === to && to === high);
  return run.filter(({ x }) => !ends.some((end) => isIn(x, end))).map((point) => ({ ...point, bound: [] }));
}

/** The borders of ends within a run, each moved to where all limits are kept. */
function bordersInside(
  run: readonly SpeedPoint[],
  ends: readonly LimitEnd[],
  speedAt: (x: number) => number | null,
  keeps: (x: number) => boolean,
): readonly InsideSpeed[] {
  const [low, high] = [elementAt(run, 0).x, lastOf(run).x];
  const span = high - low;
  const isFree = (x: number) =>
    x > low && x < high && ends.every(({ from, to }) => x <= from + SLACK * span || x >= to - SLACK * span);
  const borders = ends.flatMap(({ name, from, to }) => [
    { name, x: from, inwards: -1 },
    { name, x: to, inwards: 1 },
  ]);
  return borders.flatMap(({ name, x, inwards }) => {
    const kept = isFree(x) ? movedInside(x, inwards * STEP * span, keeps) : null;
    const speed = kept === null ? null : speedAt(kept);
    return kept === null || speed === null ? [] : [{ x: kept, speed, bound: [name] }];
  });
}

const SLACK = 1e-9; // of the range: the border of an end is inside
const STEP = 5e-4; // of the range
const TRIES = 64;

/**
 * The nearest place that keeps, of x and those a whole number of steps further: a try is a full prediction,
 * so their number doubles, then halves.
 */
function movedInside(x: number, step: number, keeps: (x: number) => boolean): number | null {
  let [good, bad] = [0, -1];
  while (!keeps(x + good * step)) {
    if (good === TRIES) return null;
    bad = good;
    good = Math.min(TRIES, Math.max(1, 2 * good));
  }
  while (good - bad > 1) {
    const middle = Math.floor((good + bad) / 2);
    if (keeps(x + middle * step)) good = middle;
    else bad = middle;
  }
  return x + good * step;
}
