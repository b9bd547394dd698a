import { inverseGram, solveUpper, triangularise } from "../numeric/householder.ts";
import { lastOf } from "../quantity/known-element.ts";
import { type ModelMotion, modelStateAt } from "./model-motion.ts";

/** Where the airframe was seen along the push, up to release; arrays of equal length n. */
export interface SeenPush {
  /** s from the measured release, increasing. */
  readonly timeS: readonly number[];
  /** m from the place at rest. */
  readonly positionM: readonly number[];
  /**
   * m, standard uncertainty of each position by itself: the scatter of the marks,
   * nothing that all frames share.
   */
  readonly u: readonly number[];
  /** Relative standard uncertainty of all positions together: scale, lens, plane. */
  readonly scaleU: number;
  /** Relative standard uncertainty of the rate of the clock. */
  readonly rateU: number;
  /** s, the model's time 0 on the same clock where it was seen, with its u; null where nothing showed it. */
  readonly valveS: { readonly value: number; readonly u: number } | null;
}

/** The model at the stated inputs, and each uncertain input moved by its standard uncertainty. */
export interface StatedModel {
  readonly motion: ModelMotion;
  readonly inputs: readonly { readonly name: string; readonly moved: ModelMotion }[];
}

/**
 * Motions of the model with one cause at play by several sizes, increasing; between them
 * the motion is interpolated.
 */
export type CauseFamily = readonly { readonly size: number; readonly motion: ModelMotion }[];

export interface CauseFit {
  /** null where no cause was fitted. */
  readonly size: { readonly value: number; readonly u: number } | null;
  /** s, model time 0 on the clock of the footage. */
  readonly shiftS: number;
  readonly chi2: number;
  /** [n + priors], whitened misfit, those of the inputs last; fits of one shot have the same length. */
  readonly misfit: Float64Array;
}

/**
 * Weighted least squares of the seen positions by the model with one cause of unknown size, or none:
 * x_i = x_0 + (1 + s) X(t_i (1 + r) + δ; size) + Σ z_k [X_k - X](..), δ free unless the valve's time was
 * seen, x_0 free, s and r within their u, z_k standard normal: each stated input may be off by its own u.
 * Gauss and Newton's method with the size kept within its family.
 * @param held names of inputs that the cause itself stands for, whose own u then does not count
 */
export function fitCause(
  seen: SeenPush,
  stated: StatedModel,
  family: CauseFamily | null,
  held: readonly string[] = [],
): CauseFit {
  const problem = { seen, stated, family, held };
  // From nothing (or the least) and from the most: a cause that does little at first may
  // have its minimum far out.
  const starts = family === null ? [0] : ends(family);
  const found = starts.map((size) => descend(problem, startOf(problem, size)));
  const { parameters, chi2, misfit, jacobian } = found.reduce((a, b) => (b.chi2 < a.chi2 ? b : a));
  const shiftS = -parameters[0];
  if (family === null) return { size: null, shiftS, chi2, misfit };
  const n = parameters.length;
  const r = jacobian.slice();
  triangularise(r, misfit.length, n, new Float64Array(misfit.length));
  const u = Math.sqrt(inverseGram(r, n)[n * n - 1]);
  return { size: { value: parameters[n - 1], u }, shiftS, chi2, misfit };
}

/** The sizes of a family nearest to nothing and farthest from it. */
function ends(family: CauseFamily): readonly number[] {
  const sizes = family.map(({ size }) => size).sort((a, b) => Math.abs(a) - Math.abs(b));
  return [sizes[0], lastOf(sizes)];
}

interface Problem {
  readonly seen: SeenPush;
  readonly stated: StatedModel;
  readonly family: CauseFamily | null;
  readonly held: readonly string[];
}

/** Parameters: δ, x_0, s, r (these two in their u), z_k, and the size last where there is a cause. */
interface State {
  readonly parameters: Float64Array;
  readonly chi2: number;
  /** Whitened misfit (model less seen, then priors) and its derivatives by the parameters, row by row. */
  readonly misfit: Float64Array;
  readonly jacobian: Float64Array;
}

const COMMON = 4;
const MOST_STEPS = 12;
const SETTLED = 1e-4; // of χ²: a hundredth of a standard uncertainty

function startOf({ seen, stated, family }: Problem, size: number): Float64Array {
  const parameters = new Float64Array(COMMON + stated.inputs.length + (family === null ? 0 : 1));
  parameters[0] = seen.valveS === null ? lastOf(stated.motion.timeS) : -seen.valveS.value;
  if (family !== null) parameters[parameters.length - 1] = size;
  return parameters;
}

function descend(problem: Problem, start: Float64Array): State {
  const n = start.length;
  let state = stateAt(problem, start);
  for (let step = 0; step < MOST_STEPS; step++) {
    const r = state.jacobian.slice();
    const right = state.misfit.map((one) => -one);
    triangularise(r, right.length, n, right);
    let change = solveUpper(r, n, right);
    if (!change.every(Number.isFinite)) return state;
    if (problem.family !== null) {
      const wanted = state.parameters[n - 1] + change[n - 1];
      const allowed = within(problem.family, wanted);
      if (allowed !== wanted) {
        // At the end of the family the size is held there, and the rest is best for that.
        right[n - 1] = r[n * n - 1] * (allowed - state.parameters[n - 1]);
        change = solveUpper(r, n, right);
      }
    }
    const next = shortened(problem, state, change);
    const gain = state.chi2 - next.chi2;
    state = next;
    if (gain < SETTLED) return state;
  }
  return state;
}

/** The state after the step, or after a half, a quarter.. of it where the whole does not help. */
function shortened(problem: Problem, from: State, change: Float64Array): State {
  for (let part = 1; part > 0.01; part /= 2) {
    const next = stateAt(
      problem,
      from.parameters.map((one, j) => one + part * change[j]),
    );
    if (next.chi2 < from.chi2) return next;
  }
  return from;
}

function within(family: CauseFamily, size: number): number {
  return Math.min(lastOf(family).size, Math.max(family[0].size, size));
}

function stateAt({ seen, stated, family, held }: Problem, p: Float64Array): State {
  const inputs = stated.inputs.length;
  const [count, n] = [seen.timeS.length, p.length];
  const rows = count + inputs + 3;
  const jacobian = new Float64Array(rows * n);
  const misfit = new Float64Array(rows);
  const [delta, rest, scale, rate] = [p[0], p[1], 1 + seen.scaleU * p[2], 1 + seen.rateU * p[3]];
  const shares = family === null ? null : sharesOf(family, p[n - 1]);
  const counts = stated.inputs.map(({ name }) => (held.includes(name) ? 0 : 1));
  for (let i = 0; i < count; i++) {
    const t = seen.timeS[i];
    const at = t * rate + delta;
    const plain = modelStateAt(stated.motion, at);
    let [x, v, bySize] = [plain.position, plain.speed, 0];
    if (family !== null && shares !== null) {
      [x, v] = [0, 0];
      family.forEach(({ motion }, k) => {
        const state = modelStateAt(motion, at);
        x += shares.value[k] * state.position;
        v += shares.value[k] * state.speed;
        bySize += shares.slope[k] * state.position;
      });
    }
    const weight = 1 / seen.u[i];
    const row = i * n;
    let [sum, sumV] = [rest + scale * x, scale * v];
    for (let k = 0; k < inputs; k++) {
      if (counts[k] === 0) continue;
      const moved = modelStateAt(stated.inputs[k].moved, at);
      const difference = moved.position - plain.position;
      sum += p[COMMON + k] * difference;
      sumV += p[COMMON + k] * (moved.speed - plain.speed);
      jacobian[row + COMMON + k] = weight * difference;
    }
    jacobian[row] = weight * sumV;
    jacobian[row + 1] = weight;
    jacobian[row + 2] = weight * seen.scaleU * x;
    jacobian[row + 3] = weight * seen.rateU * t * sumV;
    if (family !== null) jacobian[row + n - 1] = weight * scale * bySize;
    misfit[i] = weight * (sum - seen.positionM[i]);
  }
  for (let k = 2; k < COMMON + inputs; k++) {
    const row = count + k - 2;
    misfit[row] = p[k];
    jacobian[row * n + k] = 1;
  }
  if (seen.valveS !== null) {
    misfit[rows - 1] = (delta + seen.valveS.value) / seen.valveS.u;
    jacobian[(rows - 1) * n] = 1 / seen.valveS.u;
  }
  return { parameters: p, chi2: squared(misfit), misfit, jacobian };
}

/** Lagrange's shares of the family's members at a size, and their derivatives. */
function sharesOf(family: CauseFamily, size: number): { readonly value: number[]; readonly slope: number[] } {
  const sizes = family.map((one) => one.size);
  const value: number[] = [];
  const slope: number[] = [];
  sizes.forEach((own, k) => {
    let [product, derivative] = [1, 0];
    sizes.forEach((other, j) => {
      if (j === k) return;
      derivative = (derivative * (size - other) + product) / (own - other);
      product *= (size - other) / (own - other);
    });
    value.push(product);
    slope.push(derivative);
  });
  return { value, slope };
}

function squared(x: Float64Array): number {
  return x.reduce((sum, one) => sum + one * one, 0);
}
