import type { MotionFit } from "../kinematics/fitted-motion.ts";
import { refit } from "../kinematics/refit.ts";
import { createChance } from "../quantity/chance.ts";
import { type BudgetLine, HEADLINES, type QuantityName } from "../results/shot-result.ts";
import { type InputState, marksAt, type SystematicInput, statedInputs } from "./input-state.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { movedResults } from "./moved-results.ts";
import { bodyOf, type ResultNumbers, resultNumbers } from "./result-numbers.ts";
import { systematicInputs } from "./systematic-inputs.ts";
import { thinnedFrames } from "./thinned-frames.ts";

type Source = BudgetLine["source"];
type Variances = Partial<Record<QuantityName, number>>;

/**
 * Variance that each source brings to each result, and whether the inputs were moved one at
 * a time or drawn together.
 */
export interface SystematicParts {
  readonly variances: ReadonlyMap<Source, Readonly<Variances>>;
  readonly by: "first order" | "drawing";
  /** What the two ways gave, where inputs were drawn. */
  readonly drawn: DrawnInputs | null;
  /** 1, of each source's variance: how much of it rests on uncertainties that nobody stated. */
  readonly assumed: ReadonlyMap<Source, Readonly<Variances>>;
  /** Sources with an input that could not be moved by its whole uncertainty: how much of it, 0 for none. */
  readonly cutShort: readonly { readonly source: Source; readonly reached: number }[];
}

/**
 * All inputs drawn together, beside the inputs moved one at a time: variance of each result by either, and
 * how far the drawn mean lies off.
 */
export interface DrawnInputs {
  /** Draws that gave a motion, of those tried. */
  readonly draws: number;
  readonly tried: number;
  readonly firstOrder: Readonly<Variances>;
  readonly variance: Readonly<Variances>;
  readonly shift: Readonly<Variances>;
}

/** Asks for draws in any case. */
export interface DrawingRequest {
  readonly draws: number;
  readonly onDraw?: (done: number) => void;
}

// share of a headline's systematic variance that the second order may bring before inputs are drawn
const BENT = 0.05;
const DRAWS = 200; // a standard deviation is then good to 5 %
const SEED = 40_009; // any number; fixed so that the same document gives the same figures

/** Everything the systematic parts are worked out from. */
interface Problem {
  readonly fit: MotionFit;
  readonly setUp: MeasuringSetUp;
  readonly stated: InputState;
  readonly inputs: readonly SystematicInput[];
  numbersAt(state: InputState): ResultNumbers | null;
}

/**
 * Variance that each systematic source brings. First every input is moved by its u to either side, the fit
 * repeated at the same release and smoothness: d₁² + d₂²/2, d₁ = (f₊ - f₋)/2, d₂ = f₊ + f₋ - 2 f₀ (JCGM
 * 100:2008, 5.1.2 with its note). An input that cannot be moved that far counts in proportion, and its source
 * is named. Where the second order matters for a headline result the law of propagation
 * is not to be trusted: all inputs are then drawn together, 200 times, and each source's variance is enlarged
 * in proportion to what that gives (JCGM 101:2008, clause 7 and 8.1). Draws that were asked for stand beside
 * the first order and do not change it: asDrawn does.
 * @param asked draws in any case
 */
export function systematicParts(
  fit: MotionFit,
  setUp: MeasuringSetUp,
  asked: DrawingRequest | null = null,
): SystematicParts {
  const body = bodyOf(setUp.filmed.airframe);
  const thinned = thinnedFrames(fit, setUp);
  const problem: Problem = {
    fit,
    setUp,
    stated: statedInputs(setUp.shot, setUp),
    inputs: systematicInputs(setUp),
    numbersAt(state) {
      const placed = marksAt(state, thinned.setUp);
      const motion = placed === null ? null : refit(thinned.fit, thinned.weighed(placed.marks), placed.axis);
      return motion === null ? null : resultNumbers(motion, body);
    },
  };
  const first = oneAtATime(problem);
  const { bent, ...found } = first;
  const { variances } = found;
  if (asked === null && !bent) return { ...found, by: "first order", drawn: null };
  const drawn = drawnTogether(problem, asked ?? { draws: DRAWS }, totals(variances));
  const parts: SystematicParts = { ...found, by: "first order", drawn };
  return bent ? asDrawn(parts) : parts;
}

/**
 * The same parts, as large as the draws say they are; as they stand where nothing was drawn, or
 * was allowed for already.
 */
export function asDrawn(parts: SystematicParts): SystematicParts {
  const { drawn, by, variances } = parts;
  if (drawn === null || drawn.draws === 0 || by === "drawing") return parts;
  return { ...parts, variances: enlarged(variances, drawn), by: "drawing" };
}

function oneAtATime({ stated, inputs, numbersAt }: Problem): {
  readonly variances: Map<Source, Variances>;
  readonly bent: boolean;
  readonly assumed: SystematicParts["assumed"];
  readonly cutShort: SystematicParts["cutShort"];
} {
  const variances = new Map<Source, Variances>();
  const ofAssumed = new Map<Source, Variances>();
  const reached = new Map<Source, number>();
  const straight: Variances = {};
  const curved: Variances = {};
  const nominal = numbersAt(stated);
  for (const input of inputs) {
    const moved = nominal && movedResults((z) => numbersAt(input.move(stated, z)), nominal);
    reached.set(input.source, Math.min(reached.get(input.source) ?? 1, moved?.reached ?? 0));
    if (moved === null) continue;
    const sum = variances.get(input.source) ?? {};
    const guessed = ofAssumed.get(input.source) ?? {};
    for (const name of Object.keys(moved.first) as QuantityName[]) {
      const [one, two] = [(moved.first[name] ?? 0) ** 2, (moved.second[name] ?? 0) ** 2 / 2];
      straight[name] = (straight[name] ?? 0) + one;
      curved[name] = (curved[name] ?? 0) + two;
      sum[name] = (sum[name] ?? 0) + one + two;
      if (input.assumed === true) guessed[name] = (guessed[name] ?? 0) + one + two;
    }
    variances.set(input.source, sum);
    ofAssumed.set(input.source, guessed);
  }
  const assumed = new Map(
    [...ofAssumed].map(([source, part]) => [source, shares(part, variances.get(source))]),
  );
  const cutShort = [...reached].flatMap(([source, part]) => (part < 1 ? [{ source, reached: part }] : []));
  const bent = HEADLINES.some(
    (name) => (curved[name] ?? 0) > BENT * (straight[name] ?? 0) && (curved[name] ?? 0) > 0,
  );
  return { variances, bent, assumed, cutShort };
}

function shares(parts: Readonly<Variances>, wholes: Readonly<Variances> = {}): Variances {
  const entries = (Object.keys(parts) as QuantityName[]).map((name) => {
    const whole = wholes[name] ?? 0;
    return [name, whole > 0 ? (parts[name] ?? 0) / whole : 0];
  });
  return Object.fromEntries(entries) as Variances;
}

/** Each result with all inputs drawn together from normal distributions. */
function drawnTogether(
  { stated, inputs, numbersAt }: Problem,
  { draws: count, onDraw }: DrawingRequest,
  firstOrder: Variances,
): DrawnInputs {
  const chance = createChance(SEED);
  const nominal = numbersAt(stated);
  const draws: ResultNumbers[] = [];
  for (let draw = 0; draw < count; draw++) {
    const state = inputs.reduce((moved, input) => input.move(moved, chance.normal()), stated);
    const numbers = numbersAt(state);
    if (numbers !== null) draws.push(numbers);
    onDraw?.(draw + 1);
  }
  const [variance, shift]: [Variances, Variances] = [{}, {}];
  for (const name of Object.keys(draws[0] ?? {}) as QuantityName[]) {
    const values = draws.map((one) => one[name] ?? 0);
    const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
    variance[name] = values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / Math.max(1, values.length - 1);
    shift[name] = mean - (nominal?.[name] ?? mean);
  }
  return { draws: draws.length, tried: count, firstOrder, variance, shift };
}

// of the draws: what is left out beyond 2.3 u does not show in a standard deviation
const FEW_FAILED = 0.02;

/** Draws that gave no motion, where they are so many that the others understate the spread; 0 otherwise. */
export function failedDraws({ draws, tried }: DrawnInputs): number {
  return tried - draws > FEW_FAILED * tried ? tried - draws : 0;
}

/**
 * Each source's variance in proportion to what drawing all inputs together gives; never smaller for it
 * where draws failed, which cuts the spread off.
 */
function enlarged(parts: SystematicParts["variances"], drawn: DrawnInputs): SystematicParts["variances"] {
  const { variance: total, firstOrder: sums } = drawn;
  const isCutOff = failedDraws(drawn) > 0;
  const scaled = new Map<Source, Variances>();
  for (const [source, variances] of parts) {
    const entries = (Object.keys(variances) as QuantityName[]).map((name) => {
      const sum = sums[name] ?? 0;
      const whole = Math.max(total[name] ?? sum, isCutOff ? sum : 0);
      return [name, sum > 0 ? ((variances[name] ?? 0) * whole) / sum : 0];
    });
    scaled.set(source, Object.fromEntries(entries) as Variances);
  }
  return scaled;
}

function totals(parts: ReadonlyMap<Source, Variances>): Variances {
  const sums: Variances = {};
  for (const variances of parts.values()) {
    for (const name of Object.keys(variances) as QuantityName[])
      sums[name] = (sums[name] ?? 0) + (variances[name] ?? 0);
  }
  return sums;
}
