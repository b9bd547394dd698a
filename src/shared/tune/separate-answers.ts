import { choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { type Fit, levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";
import { exchangedParts } from "./exchanged-parts.ts";
import { settle } from "./settle.ts";
import type { ShotToTune } from "./tuned-shot.ts";
import { type TuningProblem, tuningProblem } from "./tuning-problem.ts";
import type { Unknown } from "./unknowns.ts";

const STARTS_OFF = 1.5; // u from what was stated, either way
const MOST_VARIED = 10; // inputs; their pairs take six starts
const ELSEWHERE = 0.5; // u from the first answer
const FEW_TERMS = { speed: 0.02, early: 0.02 }; // room for what is held where few shots are looked at
const STEPS = 4; // and as many again; fewer where a start comes within reach of the first answer
const CORRECTIONS = 2; // of each
const HOPELESS = 20; // times the chi-square of the first answer there: such a start is given up
const ENOUGH = 0.1; // where such a start leads need not be known any better: see `tuningProblem`
const AT_REST = 3; // chi-square that a further step may still promise there
const WORTH_A_LOOK = 25; // chi-square on the few shots above the best of them
const APART = 25; // chi-square by which answers lie apart, each by its own covariance
const BARRIER = 1; // chi-square: lower, and both are one answer that the shots leave wide
const AS_GOOD = 0.1; // chi-square, a third of a standard uncertainty
const AS_WELL = 4; // chi-square above the best: what two standard uncertainties cost

/**
 * Whether the fit leads elsewhere from other starts. Inputs are put 1.5 of their u to either side, each pair
 * of them in all four ways. Where that leads is found on two of the shots, of the least and the greatest
 * speed, with what else is uncertain held; what comes to rest away from the first answer there is fitted to
 * all shots, and so is each answer with two entries of a list exchanged. Answers are separate where they lie
 * five u apart in some combination of the launcher's inputs, by either's covariance, and the sum of squares
 * half-way is higher than at both.
 * @param first the fit from what was stated
 * @param varied names of the launcher inputs that are put elsewhere; of more than ten the first ten
 * @returns the best, then those that fit about as well, best first
 */
export function separateAnswers(
  shots: readonly ShotToTune[],
  problem: TuningProblem,
  first: Fit,
  varied: readonly string[],
): readonly Fit[] {
  const answers = [first];
  const follow = (start: Float64Array) => {
    const fit = settle({ ...problem.fit, start });
    if (!fit.converged || fit.covariance === null) return;
    const same = answers.findIndex((one) => !areSeparate(problem, one, fit));
    if (same < 0) answers.push(fit);
    else if (fit.sumOfSquares < answers[same].sumOfSquares) answers[same] = fit;
  };
  promising(shots, problem, first, varied.slice(0, MOST_VARIED)).forEach(follow);
  answers.flatMap((one) => exchanged(problem, one)).forEach(follow);
  const least = Math.min(...answers.map(({ sumOfSquares }) => sumOfSquares));
  const noise = Math.max(1, least / Math.max(1, first.degreesOfFreedom));
  // What is as good as the best is no better: then the answer nearest to what was stated leads.
  const lead = answers.find(({ sumOfSquares }) => sumOfSquares < least + AS_GOOD) ?? first;
  const others = answers.filter(
    (one) => one !== lead && one.sumOfSquares <= lead.sumOfSquares + AS_WELL * noise,
  );
  return [lead, ...others.toSorted((a, b) => a.sumOfSquares - b.sumOfSquares)];
}

/** An answer's places with those of two like entries of a list exchanged, where that leads off them. */
function exchanged({ unknowns }: TuningProblem, { parameters }: Fit): readonly Float64Array[] {
  const inputs = unknowns.flatMap((one, at) =>
    one.kind === "input" && ofLauncher(one) !== null ? [{ at, ...one.input }] : [],
  );
  const at = inputs.map((one) => one.at);
  const areLike = (i: number, k: number) =>
    inputs[i].value === inputs[k].value && inputs[i].u === inputs[k].u;
  return exchangedParts(inputs.map(({ name }) => name))
    .filter((order) => order.every(areLike))
    .filter((order) => order.some((i, k) => Math.abs(parameters[at[i]] - parameters[at[k]]) > ELSEWHERE))
    .map((order) => {
      const start = parameters.slice();
      order.forEach((i, k) => {
        start[at[k]] = parameters[at[i]];
      });
      return start;
    });
}

/** Places in all unknowns, away from the first fit, that other starts lead to on a few of the shots. */
function promising(
  shots: readonly ShotToTune[],
  { unknowns }: TuningProblem,
  first: Fit,
  varied: readonly string[],
): readonly Float64Array[] {
  const few = farthestApart(shots);
  const names = few.flatMap(({ model }) => model.inputs.map(({ name }) => name));
  const held = new Set(names.filter((name) => !varied.includes(name)));
  const problem = tuningProblem(few, held, 1, FEW_TERMS);
  const at = varied.map((name) => problem.unknowns.findIndex((one) => ofLauncher(one) === name));
  const placeOf = varied.map((name) => unknowns.findIndex((one) => ofLauncher(one) === name));
  const fewer = { ...problem.fit, mostSteps: STEPS, corrections: CORRECTIONS, enough: ENOUGH };
  const placesIn = (p: Float64Array) => at.map((j) => p[j]);
  const from = (places: ArrayLike<number>, most: number, known: Placed | null) => {
    const start = new Float64Array(problem.unknowns.length);
    at.forEach((j, i) => {
      start[j] = places[i];
    });
    const isKnown = (p: Float64Array) => known !== null && isWithin(known, placesIn(p));
    if (isKnown(start)) return null;
    const begun = levenbergMarquardt({
      ...fewer,
      start,
      // after the last of these steps its Jacobian is only of use to one that goes on, which takes it itself
      leaves: (p, _, steps) => isKnown(p) || (known !== null && steps === STEPS),
    });
    if (!(begun.sumOfSquares < most) || isKnown(begun.parameters)) return null;
    const goesOn = begun.end === "left" || begun.end === "too-many-steps";
    const fit = goesOn ? levenbergMarquardt({ ...fewer, start: begun.parameters, leaves: isKnown }) : begun;
    if (fit.covariance === null) return null;
    return {
      z: placesIn(fit.parameters),
      covariance: blockOf(fit.covariance, at),
      sum: fit.sumOfSquares,
      rests: fit.promised < AT_REST,
    };
  };
  const here = from(
    placeOf.map((j) => first.parameters[j]),
    Number.POSITIVE_INFINITY,
    null,
  );
  if (here === null) return [];
  const found = signsOf(varied.length).map((signs) =>
    from(
      signs.map((sign) => STARTS_OFF * sign),
      HOPELESS * here.sum,
      here,
    ),
  );
  const least = Math.min(here.sum, ...found.map((one) => one?.sum ?? Number.POSITIVE_INFINITY));
  const places = [here];
  for (const one of found) {
    if (one === null || !one.rests || one.sum > least + WORTH_A_LOOK) continue;
    if (places.every((known) => areApart(known, one))) places.push(one);
  }
  return places.slice(1).map(({ z }) => {
    const start = first.parameters.slice();
    placeOf.forEach((j, i) => {
      start[j] += z[i] - here.z[i];
    });
    return start;
  });
}

function areSeparate({ unknowns, fit }: TuningProblem, one: Fit, other: Fit): boolean {
  const at = [...unknowns.keys()].filter((j) => ofLauncher(unknowns[j]) !== null);
  const [here, there] = [one, other].map(({ parameters, covariance }) => ({
    z: at.map((j) => parameters[j]),
    covariance: covariance && blockOf(covariance, at),
  }));
  if (!areApart(here, there)) return false;
  const between = new Float64Array(fit.count);
  fit.residuals(
    one.parameters.map((z, j) => (z + other.parameters[j]) / 2),
    between,
  );
  const sum = between.reduce((so, r) => so + r * r, 0);
  // where the model has no launch the sum is none, and nothing leads from one to the other
  return !(sum <= Math.max(one.sumOfSquares, other.sumOfSquares) + BARRIER);
}

/** Where inputs of the launcher are, and how sure that is; null where nothing says it. */
interface Placed {
  readonly z: readonly number[];
  readonly covariance: Float64Array | null;
}

/** Whether neither place is within reach of the other's uncertainty, whatever combination that is of. */
function areApart(one: Placed, other: Placed): boolean {
  return !isWithin(one, other.z) && !isWithin(other, one.z);
}

/** Whether a place is within reach of another's uncertainty. */
function isWithin({ z, covariance }: Placed, other: readonly number[]): boolean {
  const root = covariance?.slice();
  if (root === undefined || choleskyInPlace(root, z.length) === null) return false;
  const off = Float64Array.from(z, (own, i) => own - other[i]);
  return forwardSubstitute(root, z.length, off).reduce((sum, x) => sum + x * x, 0) <= APART;
}

function blockOf(covariance: Float64Array, at: readonly number[]): Float64Array {
  const n = Math.sqrt(covariance.length);
  return Float64Array.from(
    { length: at.length ** 2 },
    (_, k) => covariance[at[Math.floor(k / at.length)] * n + at[k % at.length]],
  );
}

/**
 * +1 and -1 for each of up to ten inputs, in as few ways as have any two of them in all four. Source: an
 * array of this kind has C(n - 1, ⌈n/2⌉) columns in n rows: Kleitman & Spencer, Discrete Math. 6:255 (1973).
 */
function signsOf(count: number): readonly (readonly number[])[] {
  if (count < 2) return count === 0 ? [] : [[1], [-1]];
  const rows = count <= 3 ? 4 : count === 4 ? 5 : 6;
  const columns = subsets(rows - 1, Math.ceil(rows / 2)).slice(0, count);
  return Array.from({ length: rows }, (_, row) =>
    columns.map((rowsAbove) => (rowsAbove.includes(row) ? 1 : -1)),
  );
}

/** The subsets of so many of 1 to n. */
function subsets(n: number, size: number): readonly (readonly number[])[] {
  if (size === 0) return [[]];
  if (n < size) return [];
  return [...subsets(n - 1, size - 1).map((one) => [...one, n]), ...subsets(n - 1, size)];
}

/** The shots of the least and the greatest speed, by what was stated. */
function farthestApart(shots: readonly ShotToTune[]): readonly ShotToTune[] {
  if (shots.length <= 2) return shots;
  const speeds = shots.map(
    ({ model }) => model.predict(model.inputs.map(({ value }) => value))?.exitSpeedMPerS ?? 0,
  );
  const [least, greatest] = [Math.min(...speeds), Math.max(...speeds)];
  return least === greatest
    ? shots.slice(0, 2)
    : [shots[speeds.indexOf(least)], shots[speeds.indexOf(greatest)]];
}

/** The name of an unknown that is one of the launcher; null for another. */
function ofLauncher(unknown: Unknown): string | null {
  if (unknown.kind !== "input") return null;
  return unknown.input.of === "launcher" || unknown.input.of === "form" ? unknown.name : null;
}
