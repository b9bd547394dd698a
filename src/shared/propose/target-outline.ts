import { type CubicSpline, isInside, valueAt } from "../numeric/cubic-spline.ts";

/** How far the parts of a target reach from its middle. */
export interface TargetOutline {
  /** Samples from the middle to where the parts end. */
  readonly radius: number;
  /** Grey levels between its dark and its light parts. */
  readonly contrast: number;
}

const FARTHEST = 48; // samples: parts that reach farther are no target's
const NEAR = 4; // samples from the middle where a part shows its grey
const RAYS = [-0.42, 0, 0.42]; // rad to either side of a quarter's middle: well inside it
const EVEN = 1.2; // longest over shortest way out of a round target, and of a square one for two rays in three
const LEAST_EVEN = 5; // rays of twelve: a long field lets four and four out at one distance
const UNEVEN = 1.75; // longest over shortest bar of a cross
const BARS_AT = 8; // samples from the middle where the bars of a cross still show
const BARS_SHARE = 0.45; // of that ring
const QUARTER = Math.PI / 2;

/**
 * The outline of four quarters about a place, two dark and two light in turn: where rays within them come
 * upon the other grey. Those that do must do so at one distance, as no fields of a band or a wall have them;
 * what lies behind may be of the one grey here and of the other there.
 * @returns null when they do not
 */
export function quarteredOutline(spline: CubicSpline, x: number, y: number): TargetOutline | null {
  const phase = phaseOf(spline, x, y, 2);
  const parts = [0, 1, 2, 3].map((k) => phase + k * QUARTER);
  const { greys, middle } = greysOf(spline, x, y, [
    [parts[0], parts[2]],
    [parts[1], parts[3]],
  ]);
  const ways = parts.flatMap((angle, k) => {
    const lighter = greys[k % 2] > middle;
    return RAYS.map((by) => wayOut(spline, x, y, angle + by, (grey) => grey > middle === lighter));
  });
  const ended = ways.filter((way) => way < FARTHEST).sort((a, b) => a - b);
  let best: readonly number[] = [];
  for (const way of ended) {
    const even = ended.filter((one) => one >= way && one <= EVEN * way);
    if (even.length > best.length) best = even;
  }
  if (best.length < LEAST_EVEN || ways.filter((way) => way < best[0] / EVEN).length > 1) return null;
  const radius = best.reduce((sum, one) => sum + one, 0) / best.length;
  return { radius, contrast: Math.abs(greys[0] - greys[1]) };
}

/**
 * The outline of a cross of four even bars; null when its bars do not end, or what lies between is not even.
 */
export function crossOutline(spline: CubicSpline, x: number, y: number): TargetOutline | null {
  const phase = phaseOf(spline, x, y, 4);
  return crossOf(spline, x, y, phase) ?? crossOf(spline, x, y, phase + QUARTER / 2);
}

function crossOf(spline: CubicSpline, x: number, y: number, phase: number): TargetOutline | null {
  const bars = [0, 1, 2, 3].map((k) => phase + k * QUARTER);
  const between = bars.map((angle) => angle + QUARTER / 2);
  const { greys: means, middle } = greysOf(spline, x, y, [bars, between]);
  const lighter = means[0] > middle;
  const ways = bars.map((angle) => wayOut(spline, x, y, angle, (grey) => grey > middle === lighter));
  const [shortest, longest] = [Math.min(...ways), Math.max(...ways)];
  if (longest >= FARTHEST || shortest < BARS_AT || longest > UNEVEN * shortest) return null;
  const contrast = Math.abs(means[0] - means[1]);
  // what lies between must be of one grey, and so must the bars
  for (const [angles, share] of [
    [between, 0.35],
    [bars, 0.5],
  ] as const) {
    const greys = angles.map((angle) => along(spline, x, y, angle, 5));
    if (Math.max(...greys) - Math.min(...greys) > share * contrast) return null;
  }
  // bars are narrower than what lies between them
  const [bar, other] = [bars, between].map((angles) => along(spline, x, y, angles[0], 5));
  const round = Array.from({ length: 72 }, (_, k) => along(spline, x, y, (k * Math.PI) / 36, BARS_AT));
  const inBars = round.filter((grey) => Math.abs(grey - bar) < Math.abs(grey - other)).length;
  if (inBars >= BARS_SHARE * round.length) return null;
  return { radius: ways.reduce((sum, one) => sum + one, 0) / ways.length, contrast };
}

/** rad, where the light parts of a ring with so many periods lie. */
function phaseOf(spline: CubicSpline, x: number, y: number, periods: number): number {
  let [c, s] = [0, 0];
  for (let k = 0; k < 48; k++) {
    const angle = (2 * Math.PI * k) / 48;
    const grey = along(spline, x, y, angle, 5);
    c += grey * Math.cos(periods * angle);
    s += grey * Math.sin(periods * angle);
  }
  return Math.atan2(s, c) / periods;
}

function greysOf(spline: CubicSpline, x: number, y: number, groups: readonly (readonly number[])[]) {
  const greys = groups.map((angles) => {
    const all = angles.map((angle) => along(spline, x, y, angle, NEAR));
    return all.reduce((sum, one) => sum + one, 0) / all.length;
  });
  return { greys, middle: (greys[0] + greys[1]) / 2 };
}

function wayOut(
  spline: CubicSpline,
  x: number,
  y: number,
  angle: number,
  isInPart: (grey: number) => boolean,
): number {
  for (let r = NEAR; r < FARTHEST; r += 0.5) {
    if (!isInside(spline, x + r * Math.cos(angle), y + r * Math.sin(angle))) return FARTHEST;
    if (!isInPart(along(spline, x, y, angle, r))) return r;
  }
  return FARTHEST;
}

function along(spline: CubicSpline, x: number, y: number, angle: number, r: number): number {
  return valueAt(spline, x + r * Math.cos(angle), y + r * Math.sin(angle));
}
