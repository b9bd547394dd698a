import { levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";
import { type WeightedPolynomial, weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import type { Measured } from "../quantity/measured.ts";

/**
 * A mark of one point on its clock; the place in any unit, with the standard uncertainty of each coordinate.
 */
export interface TimedPlace {
  readonly time: number;
  readonly x: number;
  readonly y: number;
  readonly u: number;
}

/** A change of the capture rate that a clock does not allow for, as the motion of one point shows it. */
export interface RateStep {
  /** Place in the path of the last mark before the border; the next one lies after it. */
  readonly lastBefore: number;
  /** On the stated clock. */
  readonly border: Measured;
  /** Apparent speed after the border over that before it: the rate before over the rate after. */
  readonly ratio: Measured;
}

const MOST_BESIDE = 5; // marks on either side that are looked at
const LEAST_BESIDE = 3;
const LEAST_RATIO = 1.7; // cameras change their rate by 2 or more
const CLEAR_IN_U = 5;
const SAME_WAY = 0.95; // cosine between the ways before and after
const MISFIT_ALLOWED = 9; // χ² a degree of freedom: marks whose stated u is three times too small
const NUMBERS = 8; // free ones of a step: three a coordinate, border and ratio
const FARTHEST = Math.log(1000); // of a ratio: no camera goes from 30 to 30 000 frames/s within a clip
const BEYOND = 0.5; // of the pair's step: a border farther outside is another pair's
const UNSTEADY_ALLOWED = 0.3; // of the speed, within two marks: the first frames of a push pass for a step
const LIKELIER = 25; // of χ², against one rate and a cubic with as many free numbers

/**
 * Where the apparent speed of a point jumps by a factor while its place runs on and its direction stays: what
 * a change of the capture rate looks like on a clock that knows one rate. About each pair of neighbouring
 * marks, x and y are fitted as quadratics of one time that runs ratio times as fast after a border between
 * the two: the acceleration must change by the ratio squared too, which a collision or the beginning of a
 * push does not do. A step is clear when its ratio is 1.7 or more either way and 5 u from 1, the speed is
 * steady beside it, and when a cubic, one rate with as many free numbers, is unlikelier by 25 in χ². Steps by
 * less, with under three marks on either side, and while the point hardly moves, are not seen.
 * @param path times strictly increasing; repeated frames left out
 * @returns by time
 * @throws RangeError when the times do not increase or a u is not > 0
 */
export function rateSteps(path: readonly TimedPlace[]): readonly RateStep[] {
  const wrong = path.findIndex(({ time, u }, i) => !(u > 0) || (i > 0 && !(time > path[i - 1].time)));
  if (wrong >= 0) throw new RangeError(`rateSteps: mark ${wrong} is out of order or has no u`);
  const found: Seen[] = [];
  for (let k = LEAST_BESIDE - 1; k < path.length - LEAST_BESIDE; k++) {
    if (!jumps(path, k)) continue;
    const step = clearestAt(path, k);
    if (step === null) continue;
    const last = found.at(-1);
    if (last === undefined || k - last.step.lastBefore >= LEAST_BESIDE) found.push(step);
    else if (step.likelier > last.likelier) found[found.length - 1] = step;
  }
  return found.map(({ step }) => step);
}

/** Whether the speeds of the two steps before and after differ enough to be looked at. */
function jumps(path: readonly TimedPlace[], k: number): boolean {
  const [a, b, c, d] = [path[k - 2], path[k], path[k + 1], path[k + 3]];
  const [before, after] = [leg(a, b), leg(c, d)];
  if (!(before.length > CLEAR_IN_U * before.u) || !(after.length > CLEAR_IN_U * after.u)) return false;
  const cosine = (before.x * after.x + before.y * after.y) / (before.length * after.length);
  return cosine > SAME_WAY && Math.abs(Math.log(after.speed / before.speed)) > Math.log(LEAST_RATIO) / 2;
}

function leg(from: TimedPlace, to: TimedPlace) {
  const [x, y] = [to.x - from.x, to.y - from.y];
  const length = Math.hypot(x, y);
  return { x, y, length, u: Math.hypot(from.u, to.u), speed: length / (to.time - from.time) };
}

interface Seen {
  readonly step: RateStep;
  /** By how much a cubic at one rate is unlikelier: χ² over the misfit. */
  readonly likelier: number;
}

/** The step between two neighbouring marks by the widest window of marks that one acceleration fits. */
function clearestAt(path: readonly TimedPlace[], k: number): Seen | null {
  for (let beside = MOST_BESIDE; beside >= LEAST_BESIDE; beside--) {
    if (k + 1 < beside || k + 1 + beside > path.length) continue;
    const step = stepAt(path.slice(k + 1 - beside, k + 1 + beside), beside - 1);
    if (step === null) continue;
    const nearest = path.slice(k + 1 - LEAST_BESIDE, k + 1 + LEAST_BESIDE);
    const other = beside > LEAST_BESIDE ? fitted(nearest, LEAST_BESIDE - 1) : null;
    return { step: { ...withWindow(step, other), lastBefore: k }, likelier: step.likelier };
  }
  return null;
}

// Of the ratio, for a speed that doubles within two marks. Found on drawn pushes: of 30 borders, 29 then lie
// within 2.5 u.
const UNEVEN = 0.2;

/**
 * What the choice of the window does to a step is part of its u: no push is an even acceleration throughout.
 */
function withWindow(
  { border, logRatio, uBorder, uLog: own, unsteady }: Fitted,
  other: Fitted | null,
): Omit<RateStep, "lastBefore"> {
  const ratio = Math.exp(logRatio);
  const uLog = Math.hypot(own, UNEVEN * unsteady);
  return {
    border: { value: border, u: Math.hypot(uBorder, other === null ? 0 : other.border - border) },
    ratio: { value: ratio, u: ratio * Math.hypot(uLog, other === null ? 0 : other.logRatio - logRatio) },
  };
}

interface Fitted {
  readonly border: number;
  readonly logRatio: number;
  readonly uBorder: number;
  readonly uLog: number;
  /** χ² a degree of freedom, 1 at least. */
  readonly spread: number;
  readonly unsteady: number;
  readonly chi2: number;
}

function stepAt(marks: readonly TimedPlace[], last: number): (Fitted & { readonly likelier: number }) | null {
  const start = marks[last].time;
  const cubic = leftBy(
    marks,
    marks.map(({ time }) => time - start),
    3,
  );
  // No step can be so much likelier than what already fits: most pairs of a push end here, unfitted.
  if (!(cubic.chi2 > LIKELIER)) return null;
  const fit = fitted(marks, last);
  if (fit === null) return null;
  const { logRatio, uLog, spread, chi2, unsteady } = fit;
  const likelier = (cubic.chi2 - chi2) / spread;
  const isClear =
    Math.abs(logRatio) > Math.max(Math.log(LEAST_RATIO), CLEAR_IN_U * uLog) &&
    spread < MISFIT_ALLOWED &&
    unsteady < UNSTEADY_ALLOWED &&
    likelier > LIKELIER;
  return isClear ? { ...fit, likelier } : null;
}

/** Two rates about one pair of marks; null where the fit leads away from it, or tells nothing. */
function fitted(marks: readonly TimedPlace[], last: number): Fitted | null {
  const [low, high] = [marks[last].time, marks[last + 1].time];
  const early = leg(marks[last - 1], marks[last]).speed;
  const late = leg(marks[last + 1], marks[last + 2]).speed;
  const start = Math.log(late / early);
  if (!Number.isFinite(start)) return null;
  const leftAt = (border: number, logRatio: number) =>
    leftBy(
      marks,
      marks.map(({ time }) => (time <= border ? time - border : (time - border) * Math.exp(logRatio))),
      2,
    );
  const { parameters } = levenbergMarquardt({
    count: 2 * marks.length,
    start: [(low + high) / 2, start],
    typical: [high - low, 0.1],
    residuals: (p, out) => {
      if (Math.abs(p[1]) < FARTHEST) out.set(leftAt(p[0], p[1]).left);
      else out.fill(Number.NaN);
    },
  });
  const [border, logRatio] = parameters;
  if (!(border > low - BEYOND * (high - low) && border < high + BEYOND * (high - low))) return null;
  const ratio = Math.exp(logRatio);
  const { chi2, left, fits } = leftAt(border, logRatio);
  const spread = Math.max(1, chi2 / (left.length - NUMBERS));
  const u = spreads(leftAt, [border, logRatio], [1e-4 * (high - low), 1e-4]);
  if (u === null) return null;
  const [uBorder, uLog] = [u[0] * Math.sqrt(spread), u[1] * Math.sqrt(spread)];
  return {
    border,
    logRatio,
    uBorder,
    uLog,
    spread,
    chi2,
    unsteady: unsteadiness(fits, [border - marks[last - 1].time, (marks[last + 2].time - border) * ratio]),
  };
}

/** Standard uncertainties of border and logarithm of the ratio, with what they share left free: (JᵀJ)⁻¹. */
function spreads(
  leftAt: (border: number, logRatio: number) => { readonly left: readonly number[] },
  [border, logRatio]: readonly [number, number],
  [byBorder, byRatio]: readonly [number, number],
): readonly [number, number] | null {
  const slope = (ahead: readonly number[], behind: readonly number[], by: number) =>
    ahead.map((one, i) => (one - behind[i]) / (2 * by));
  const b = slope(
    leftAt(border + byBorder, logRatio).left,
    leftAt(border - byBorder, logRatio).left,
    byBorder,
  );
  const r = slope(leftAt(border, logRatio + byRatio).left, leftAt(border, logRatio - byRatio).left, byRatio);
  const dot = (p: readonly number[], q: readonly number[]) => p.reduce((sum, one, i) => sum + one * q[i], 0);
  const [bb, br, rr] = [dot(b, b), dot(b, r), dot(r, r)];
  const determinant = bb * rr - br ** 2;
  if (!(determinant > 0)) return null;
  return [Math.sqrt(rr / determinant), Math.sqrt(bb / determinant)];
}

/** What polynomials of x and y leave, each over its u. */
function leftBy(marks: readonly TimedPlace[], times: readonly number[], degree: number) {
  const u = marks.map((mark) => mark.u);
  const fits = [marks.map(({ x }) => x), marks.map(({ y }) => y)].map((values) =>
    weightedPolynomial(times, values, u, degree),
  );
  const left = fits.flatMap(({ residuals }) => residuals.map((r, i) => r / u[i]));
  return { fits, left, chi2: fits.reduce((sum, one) => sum + one.chi2, 0) };
}

/** Change of the speed within about two marks on either side of time 0, over the speed there; the larger. */
function unsteadiness(fits: readonly WeightedPolynomial[], spans: readonly number[]): number {
  const rates = fits.map(({ centre, half, coefficients: [, c1, c2] }) => ({
    speed: (c1 - (2 * c2 * centre) / half) / half,
    acceleration: (2 * c2) / half ** 2,
  }));
  const speed = Math.hypot(...rates.map((one) => one.speed));
  return (Math.hypot(...rates.map((one) => one.acceleration)) * Math.max(...spans)) / speed;
}
