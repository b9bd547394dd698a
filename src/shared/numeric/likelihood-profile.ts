/*
 * The likelihood of one parameter, most often a time, others held: where it is greatest and how far it
 * reaches. Functions here are -2 log likelihoods, so that one standard deviation from the least they have
 * risen by 1.
 */

const GOLDEN = (Math.sqrt(5) - 1) / 2;
const FLAT = 0.02; // a difference in -2 log likelihood that nothing depends on

/** Three places, the middle one lowest or at a bound, and the function there. */
interface Bracket {
  readonly x: readonly [left: number, middle: number, right: number];
  readonly f: readonly [left: number, middle: number, right: number];
}

/**
 * Where a function is least near a place: steps downhill, growing, then golden sections until the bracket is
 * flat.
 * @param stepS the first step; @param low,high bounds that are not left
 */
export function leastNear(
  f: (x: number) => number,
  from: number,
  stepS: number,
  low: number,
  high: number,
): number {
  if (!(high > low)) return low;
  let bracket = bracketed(f, from, stepS, low, high);
  for (let tries = 0; tries < 30; tries++) {
    if (tries > 2 && Math.max(bracket.f[0], bracket.f[2]) - bracket.f[1] < FLAT) break;
    const narrower = narrowed(f, bracket);
    if (narrower === null) break;
    bracket = narrower;
  }
  return bracket.x[1];
}

function bracketed(
  f: (x: number) => number,
  from: number,
  stepS: number,
  low: number,
  high: number,
): Bracket {
  const clamp = (x: number) => Math.min(Math.max(x, low), high);
  const middle = clamp(from);
  const sides = [clamp(middle - stepS), clamp(middle + stepS)] as const;
  let x: Bracket["x"] = [sides[0], middle, sides[1]];
  let y: Bracket["f"] = [f(x[0]), f(x[1]), f(x[2])];
  for (let tries = 0; tries < 12 && Math.min(y[0], y[2]) < y[1]; tries++) {
    const step = 0.8 * (x[2] - x[0]);
    if (y[0] < y[2]) {
      const left = clamp(x[0] - step);
      y = [left === x[0] ? y[0] : f(left), y[0], y[1]];
      x = [left, x[0], x[1]];
    } else {
      const right = clamp(x[2] + step);
      y = [y[1], y[2], right === x[2] ? y[2] : f(right)];
      x = [x[1], x[2], right];
    }
  }
  return { x, f: y };
}

/** The bracket after one golden section of its wider side; null when it cannot get narrower. */
function narrowed(f: (x: number) => number, { x, f: y }: Bracket): Bracket | null {
  const onRight = x[2] - x[1] > x[1] - x[0];
  const between = onRight ? x[2] - GOLDEN * (x[2] - x[1]) : x[0] + GOLDEN * (x[1] - x[0]);
  if (x.includes(between)) return null;
  const value = f(between);
  if (value < y[1]) {
    return onRight
      ? { x: [x[1], between, x[2]], f: [y[1], value, y[2]] }
      : { x: [x[0], between, x[1]], f: [y[0], value, y[1]] };
  }
  return onRight
    ? { x: [x[0], x[1], between], f: [y[0], y[1], value] }
    : { x: [between, x[1], x[2]], f: [value, y[1], y[2]] };
}

/**
 * One standard deviation to one side of the least: the step over the root of the rise there, the step chosen
 * so that the rise is near 1.
 * @param here the value at `x`; @param stepS tried first, then halved or doubled
 */
export function reachOf(
  f: (x: number) => number,
  x: number,
  here: number,
  stepS: number,
  side: 1 | -1,
): number {
  let step = stepS;
  let shrunk = false;
  for (let tries = 0; tries < 40; tries++) {
    const rise = f(x + side * step) - here;
    if (rise >= 0.5 && rise <= 2.5) return step / Math.sqrt(rise);
    if (rise > 2.5) {
      step /= 2;
      shrunk = true;
    } else if (shrunk) return step / Math.sqrt(Math.max(rise, 0.25));
    else if (tries > 7) return step;
    else step *= 2;
  }
  return step;
}
