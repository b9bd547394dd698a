import { chiSquareTail } from "../numeric/chi-square.ts";
import type { Fit } from "../numeric/levenberg-marquardt.ts";
import { studentT } from "../numeric/student-t.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { jointCovariance } from "../uncertainty/joint-covariance.ts";
import { combinationsSeen, DETERMINED } from "./determination.ts";
import { insideLimits } from "./inside-limits.ts";
import { likeliestTerms } from "./likeliest-terms.ts";
import { squareAboveZero, withVariance } from "./one-sided.ts";
import { separateAnswers } from "./separate-answers.ts";
import { settle } from "./settle.ts";
import { NO_TERMS, TERM_NAMES, type TermSizes } from "./shot-terms.ts";
import type { ShotToTune } from "./tuned-shot.ts";
import { type TuningProblem, tuningProblem } from "./tuning-problem.ts";
import { startFrom, type Unknown, unitAt, valueAt } from "./unknowns.ts";

export type TuneRefusal = "no-launch" | "not-settled" | "too-few-data";

/** The outcome for one input of the launcher. */
export interface TunedInput {
  readonly name: string;
  readonly stated: Measured;
  readonly tuned: Measured;
  /** Standard uncertainty after over before, in the fit of everything. */
  readonly left: number;
  /** Whether its value was fitted; otherwise it stays as stated, because the shots say little of it. */
  readonly moved: boolean;
}

/** What one shot adds: how its pressure was taken, and its fit. */
export interface TunedShot {
  readonly shotId: string;
  readonly points: number;
  /** Inputs of its own (gauge pressure), off what was stated by so many standard uncertainties. */
  readonly own: readonly { readonly name: string; readonly inU: number }[];
}

/** Physics that nobody stated, as the shots see it. */
export interface UnstatedForm {
  readonly name: string;
  /** As fitted, of either sign. */
  readonly found: Measured;
  /**
   * Whether it is taken to be there; otherwise there is none of it in the tuned launcher but its
   * uncertainty.
   */
  readonly present: boolean;
}

export interface LauncherTuning {
  /** Every uncertain input of the launcher, in the model's order. */
  readonly inputs: readonly TunedInput[];
  /** [n*n], of `inputs`, row by row. */
  readonly correlation: Float64Array;
  /** Those asked for that the shots do not determine. */
  readonly undetermined: readonly string[];
  /** Combinations of undetermined inputs that the shots do determine. */
  readonly together: readonly (readonly string[])[];
  readonly shots: readonly TunedShot[];
  readonly chiSquare: number;
  readonly degreesOfFreedom: number;
  /** Probability of a chi-square as large, were model and stated uncertainties right. */
  readonly chance: number;
  /**
   * Factor on the tracks' noise that makes the fit as good as it says: 1, or more where
   * it is worse than stated.
   */
  readonly widened: number;
  /**
   * 1, standard deviation of release speed from shot to shot, beyond measuring and gauge; null for fewer than
   * three shots.
   */
  readonly scatter: number | null;
  /** 1, the same of the speed early in the push, where release speed is no other; 0 for fewer than three. */
  readonly earlyScatter: number;
  /** What nobody stated and the shots were asked about all the same. */
  readonly unstated: readonly UnstatedForm[];
  /** Separate answers that fit about as well, best first. */
  readonly rivals: readonly RivalAnswer[];
  readonly steps: number;
}

/** What one start of the fit leads to; another start may lead elsewhere. */
type OneAnswer = Omit<LauncherTuning, "rivals">;

/** Values apart from the tuned ones that follow the shots about as well. */
export interface RivalAnswer {
  /** As those of the tuning. */
  readonly inputs: readonly TunedInput[];
  /** Chi-square above that of the tuned values. */
  readonly more: number;
}

const NOTHING: ReadonlySet<string> = new Set();
const MOST_RIVALS = 2; // a table holds no more
const SAME = 0.5; // u: fitted again, two answers this near were one
const CLEARLY = 2; // u from which something nobody stated is taken to be there
const LEAST_FOR_SCATTER = 3; // shots
const UNLIKELY = 0.01; // chance below which the noise is widened by Birge's ratio
/** Weighed, and the next shot's airframe may be another: a launcher is not tuned by it. */
export const FLIES_WITH_IT = "airframeMassKg";
// a person sets them for the next shot: they move only when asked for
const SET_BY_HAND = ["strokeM", "drawM"];

/**
 * Fits a launch model to the tracks of one shot or many. Every uncertain input is an unknown with what was
 * stated of it as its prior: launcher inputs shared by all shots, each shot its own pressure, scale and clock
 * errors shared where they are one measurement. Inputs that the fit leaves with more than 0.7 of their u stay
 * exactly as stated, the others are then fitted again; one that was stated at a limit stays there where the
 * shots draw it further; the covariance holds what the uncertainty of those
 * that stay does to those that moved. Where other starts lead to a separate answer that fits about as well,
 * that is one of the tuning's rivals.
 * @param asked names of the inputs a person wants tuned: those among them that stay are named as undetermined
 * @returns the tuning; "no-launch" when the model gives no launch at the stated values ({ shot });
 *   "not-settled" ({ steps }); "too-few-data" ({ rows, needed })
 */
export function tuneLauncher(
  shots: readonly ShotToTune[],
  asked: readonly string[],
): Result<LauncherTuning, TuneRefusal> {
  const dead = shots.findIndex(({ model }) => model.predict(model.inputs.map(({ value }) => value)) === null);
  if (dead >= 0) return refuse("no-launch", { shot: dead });
  const problem = tuningProblem(shots, NOTHING, 1);
  // and of each shot: where it starts in time and place, and its drag
  const needed = asked.length + 3 * shots.length;
  if (problem.dataRows < needed) return refuse("too-few-data", { rows: problem.dataRows, needed });
  const first = settle(problem.fit);
  const fits = separateAnswers(shots, problem, first, variedIn(problem, first, asked));
  const [lead, ...others] = fits.slice(0, 1 + MOST_RIVALS).flatMap((fit) => {
    const answer = answerFrom(shots, asked, problem, fit);
    return answer.ok ? [{ answer: answer.value, sum: fit.sumOfSquares }] : [];
  });
  if (lead === undefined) return refuse("not-settled", { steps: first.steps });
  const rivals = others
    .filter(({ answer }) => answer.inputs.some((one, i) => isAnother(lead.answer.inputs[i], one)))
    .map(({ answer, sum }) => ({ inputs: answer.inputs, more: Math.max(0, sum - lead.sum) }));
  return ok({ ...lead.answer, rivals });
}

/** Inputs that the fit is also started elsewhere in: those asked for, and what the shots determine. */
function variedIn({ unknowns }: TuningProblem, first: Fit, asked: readonly string[]): readonly string[] {
  const n = unknowns.length;
  const own = unknowns.flatMap((unknown, at) => {
    if (!isLauncher(unknown)) return [];
    const left = first.covariance === null ? 1 : Math.sqrt(first.covariance[at * n + at]);
    return [{ name: unknown.name, left }];
  });
  const besides = own
    .filter(({ name, left }) => !asked.includes(name) && !staysAt(name, left, asked))
    .toSorted((a, b) => a.left - b.left);
  return [...own.filter(({ name }) => asked.includes(name)), ...besides].map(({ name }) => name);
}

function isAnother(one: TunedInput, other: TunedInput): boolean {
  return Math.abs(one.tuned.value - other.tuned.value) > SAME * Math.max(one.tuned.u, other.tuned.u);
}

/** The tuning that a first fit leads to: with what differs from shot to shot, and what stays held. */
function answerFrom(
  shots: readonly ShotToTune[],
  asked: readonly string[],
  problem: TuningProblem,
  first: Fit,
): Result<OneAnswer, "not-settled"> {
  let [full, fit] = [problem, first];
  const terms = shots.length < LEAST_FOR_SCATTER ? null : likeliestTerms(shots, fit.parameters);
  const scattered = terms !== null && TERM_NAMES.some((name) => terms[name] > 0);
  if (scattered) {
    full = tuningProblem(shots, NOTHING, 1, terms);
    fit = settle({ ...full.fit, start: fit.parameters });
  }
  const { sumOfSquares: chiSquare } = fit;
  // What was known before adds as many rows as unknowns, but of where a shot starts and of its
  // drag next to nothing was.
  const degreesOfFreedom = full.dataRows - 3 * shots.length;
  const chance = chiSquareTail(chiSquare, degreesOfFreedom);
  const widened = chance < UNLIKELY ? Math.sqrt(chiSquare / degreesOfFreedom) : 1;
  const spread = scattered ? spreadOfFew(terms, shots.length) : NO_TERMS;
  if (widened > 1 || scattered) {
    full = tuningProblem(shots, NOTHING, widened, spread);
    fit = settle({ ...full.fit, start: fit.parameters });
  }
  if (!fit.converged || fit.covariance === null) return refuse("not-settled", { steps: fit.steps });
  const { unknowns } = full;
  const n = unknowns.length;
  const launcher = unknowns.flatMap((unknown, at) =>
    isLauncher(unknown) ? [{ at, input: unknown.input }] : [],
  );
  const covariance = fit.covariance;
  const inside = insideLimits(full, { ...fit, covariance }, (held) =>
    tuningProblem(shots, held, widened, spread),
  );
  if (inside === null) return refuse("not-settled", { steps: fit.steps });
  const left = (at: number) => inside.left[at];
  const form = launcher.filter(({ input }) => input.of === "form");
  const absent = form.filter(({ at }) => !(inside.z[at] > CLEARLY * left(at)));
  const stay = new Set(
    launcher
      .filter(({ at, input }) => input.of === "launcher" && staysAt(input.name, left(at), asked))
      .map(({ input }) => input.name),
  );
  const undetermined = launcher.filter(({ input }) => stay.has(input.name) && asked.includes(input.name));

  const atLimit = [
    ...absent.map(({ at, input }) => ({
      at,
      name: input.name,
      variance: squareAboveZero(inside.z[at], left(at)),
    })),
    ...inside.atLimit,
  ];
  const held = new Set([...stay, ...atLimit.map(({ name }) => name)]);
  const last = tuningProblem(shots, held, widened, spread);
  const start = startFrom(unknowns, inside.z, last.unknowns);
  const settled = settle({ ...last.fit, start });
  if (!settled.converged) return refuse("not-settled", { steps: settled.steps });
  const z = startFrom(last.unknowns, settled.parameters, unknowns);
  const joint = atLimit.reduce(
    (now, { at, variance }) => withVariance(now, at, variance),
    covarianceAt(full, z, stay),
  );
  const unit = launcher.map(({ at, input }) => unitAt(input, z[at]));
  const u = launcher.map(({ at }, i) => unit[i] * Math.sqrt(joint[at * n + at]));
  return ok({
    inputs: launcher.map(({ at, input }, i) => ({
      name: input.name,
      stated: { value: input.value, u: input.u },
      tuned: stay.has(input.name)
        ? { value: input.value, u: input.u }
        : { value: valueAt(input, z[at]), u: u[i] },
      left: left(at),
      moved: !stay.has(input.name),
    })),
    correlation: Float64Array.from({ length: launcher.length ** 2 }, (_, k) => {
      const [i, j] = [launcher[Math.floor(k / launcher.length)].at, launcher[k % launcher.length].at];
      return i === j ? 1 : joint[i * n + j] / Math.sqrt(joint[i * n + i] * joint[j * n + j]);
    }),
    undetermined: undetermined.map(({ input }) => input.name),
    together: combinationsSeen(
      covariance,
      n,
      undetermined.map(({ at }) => at),
    ).map((group) => group.map((at) => launcher.find((one) => one.at === at)!.input.name)),
    shots: shots.map(({ track }, shot) => ({
      shotId: track.shotId,
      points: track.points.length,
      own: unknowns.flatMap((unknown, at) =>
        unknown.kind === "input" && unknown.input.of === "own" && unknown.shots[0] === shot
          ? [{ name: unknown.name, inU: z[at] }]
          : [],
      ),
    })),
    chiSquare,
    degreesOfFreedom,
    chance,
    widened,
    scatter: terms === null ? null : terms.speed,
    earlyScatter: terms?.early ?? 0,
    unstated: form.map(({ at, input }) => ({
      name: input.name,
      found: { value: valueAt(input, inside.z[at]), u: input.u * left(at) },
      present: !absent.some((one) => one.at === at),
    })),
    steps: fit.steps + settled.steps,
  });
}

/**
 * Sizes found from a few shots as much larger as Student's t is wider than the normal distribution, so that
 * two of the uncertainties that come of them hold 95 %.
 */
function spreadOfFew({ speed, early }: TermSizes, shots: number): TermSizes {
  const wider = studentT(0.95, shots - 1) / studentT(0.95, Number.POSITIVE_INFINITY);
  return { speed: wider * speed, early: wider * early };
}

/** Whether an input is left as it was stated: the shots say little of it, or it is not the shots' to say. */
function staysAt(name: string, left: number, asked: readonly string[]): boolean {
  if (left > DETERMINED || name === FLIES_WITH_IT) return true;
  return SET_BY_HAND.includes(name) && !asked.includes(name);
}

function isLauncher(unknown: Unknown): unknown is Extract<Unknown, { kind: "input" }> {
  return unknown.kind === "input" && (unknown.input.of === "launcher" || unknown.input.of === "form");
}

function covarianceAt(full: TuningProblem, z: Float64Array, stay: ReadonlySet<string>): Float64Array {
  const n = full.unknowns.length;
  const jacobian = new Float64Array(full.fit.count * n);
  full.fit.jacobian!(z, jacobian);
  const fitted = full.unknowns.map((one) => !(one.kind === "input" && stay.has(one.name)));
  return jointCovariance(jacobian, full.fit.count, n, fitted);
}
