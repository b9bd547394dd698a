import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { carried } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";

/** A mark as the fit uses it: indices of frame and post instead of their names. */
export interface IndexedMark {
  readonly frame: number;
  readonly post: number;
  readonly px: PxPoint;
  readonly uPx: number;
}

/** 2: shift; 3: shift and turn; 4: shift, turn and zoom. */
export type Freedom = 2 | 3 | 4;

export interface ShakeProblem {
  /** Only frames and posts that are tied to the reference, frame 0. */
  readonly marks: readonly IndexedMark[];
  readonly frames: number;
  readonly posts: number;
  /** [2*posts] px in the reference frame, and [2*frames] shift, px: where to start. */
  readonly startPosts: Float64Array;
  readonly startShifts: Float64Array;
  readonly freedom: Freedom;
  /** Standard uncertainty around 0 of each frame's turn (rad) and zoom (natural logarithm), [frames] each. */
  readonly turnU: Float64Array;
  readonly zoomU: Float64Array;
  /** Fixed place about which pictures turn and zoom, px. */
  readonly centre: PxPoint;
}

export interface ShakeFit {
  /** [4*frames]: shift x, y (px), turn (rad), zoom (natural logarithm); the reference's are 0. */
  readonly frames: Float64Array;
  /** [2*posts], px in the reference frame. */
  readonly posts: Float64Array;
  /** Of the marks alone. */
  readonly chiSquare: number;
  /**
   * Per mark: its distance from the fit in standard uncertainties of that distance, u² less what its own
   * frame's transform takes up; 0 where the transform takes up all of it.
   */
  readonly deviations: Float64Array;
  readonly converged: boolean;
  /**
   * Per frame: covariance of its four numbers from its own marks [4*4], and from the posts' places
   * [4*4], which all frames share.
   */
  readonly own: readonly Float64Array[];
  readonly common: readonly Float64Array[];
}

const MOST_PASSES = 50;
const SETTLED_PX = 1e-9;

/**
 * Least squares of all frames' transforms and all posts' places at once: a post at q in the reference frame
 * is seen in frame f at z = c + t + e^s R(a) (q - c). Gauss-Newton; frames are eliminated one by one (Schur
 * complement), so that the cost grows with the number of frames times the square of the number of posts.
 * Source: Brown, the bundle adjustment: progress and prospects, XIII ISPRS Congress (1976).
 * @returns null when the posts' places are not determined
 */
export function fitShake(problem: ShakeProblem): ShakeFit | null {
  const state: State = {
    frames: Float64Array.from({ length: 4 * problem.frames }, (_, i) =>
      i % 4 < 2 ? problem.startShifts[2 * Math.floor(i / 4) + (i % 4)] : 0,
    ),
    posts: problem.startPosts.slice(),
  };
  const byFrame: IndexedMark[][] = Array.from({ length: problem.frames }, () => []);
  for (const mark of problem.marks) byFrame[mark.frame].push(mark);
  let converged = false;
  let solved: Solved | null = null;
  for (let pass = 0; pass < MOST_PASSES && !converged; pass++) {
    const next = solve(problem, byFrame, state);
    if (next === null) return null;
    converged = Math.max(...next.posts.map(Math.abs), next.largestShift) < SETTLED_PX;
    addTo(state.posts, next.posts);
    addTo(state.frames, next.frames);
    solved = next;
  }
  if (solved === null) throw new RangeError("fitShake: no pass was made");
  return {
    ...state,
    ...deviationsOf(problem, state, solved.own),
    converged,
    own: solved.own,
    common: solved.common,
  };
}

function addTo(values: Float64Array, steps: Float64Array): void {
  for (let i = 0; i < values.length; i++) values[i] += steps[i];
}

/** How far each mark is from the fit, and all of them together. */
function deviationsOf({ marks, centre }: ShakeProblem, state: State, own: readonly Float64Array[]) {
  const deviations = new Float64Array(marks.length);
  let chiSquare = 0;
  marks.forEach((mark, i) => {
    const { residual, byFrame } = linearised(mark, state, centre);
    const distance = Math.hypot(residual[0], residual[1]);
    chiSquare += (distance / mark.uPx) ** 2;
    const [xx, , yy] = carried(byFrame, own[mark.frame], 4);
    const left = mark.uPx ** 2 - (xx + yy) / 2;
    deviations[i] = left > 1e-6 * mark.uPx ** 2 ? distance / Math.sqrt(left) : 0;
  });
  return { deviations, chiSquare };
}

interface State {
  readonly frames: Float64Array;
  readonly posts: Float64Array;
}

interface Solved {
  /** Steps. */
  readonly posts: Float64Array;
  readonly frames: Float64Array;
  readonly largestShift: number;
  readonly own: Float64Array[];
  readonly common: Float64Array[];
}

/*
 * The letters below. A step's normal equations, with F the derivatives by a frame's k numbers, Q those by the
 * posts' places, W the weights 1/u² and r what is seen less what is predicted, in blocks:
 *
 *   k, n      free numbers of a frame; numbers of all posts, two each
 *   a  A      FᵀWF of one frame, [k*k]; its Cholesky factor once it is eliminated
 *   b  B      FᵀWQ of one frame, [k*n]
 *   g         FᵀWr of one frame, [k]
 *   S, right  QᵀWQ - Σ Bᵀ A⁻¹ B, [n*n], and QᵀWr - Σ Bᵀ A⁻¹ g, [n]: the posts' equations, frames eliminated
 *   gain  G   A⁻¹B of one frame, [k*n]
 *   step      A⁻¹g of one frame, [k]: its step if the posts stayed
 *   f; i, j   a frame; rows and columns
 */

/** The posts' equations, which grow frame by frame. */
interface PostEquations {
  readonly s: Float64Array;
  readonly right: Float64Array;
}

interface FrameEquations {
  readonly a: Float64Array;
  readonly b: Float64Array;
  readonly g: Float64Array;
}

interface EliminatedFrame {
  /** Cholesky factor of A. */
  readonly factor: Float64Array;
  readonly gain: Float64Array;
  readonly step: Float64Array;
}

/** One Gauss-Newton step with the covariances it carries. */
function solve(problem: ShakeProblem, byFrame: readonly IndexedMark[][], state: State): Solved | null {
  const { freedom: k, frames } = problem;
  const n = 2 * problem.posts;
  const ofPosts: PostEquations = { s: new Float64Array(n * n), right: new Float64Array(n) };
  const eliminated: EliminatedFrame[] = [];
  // The reference, frame 0, is not moved: its marks speak of the posts alone.
  addMarks(ofPosts, problem, byFrame[0], state);
  for (let f = 1; f < frames; f++) {
    const ofFrame = addMarks(ofPosts, problem, byFrame[f], state);
    addPriors(ofFrame, problem, f, state);
    const frame = eliminate(ofFrame, ofPosts, k, n);
    if (frame === null) return null;
    eliminated.push(frame);
  }
  const { s, right } = ofPosts;
  if (choleskyInPlace(s, n) === null) return null;
  const posts = backSubstitute(s, n, forwardSubstitute(s, n, right));
  const steps = new Float64Array(4 * frames);
  const own: Float64Array[] = [new Float64Array(16)];
  const common: Float64Array[] = [new Float64Array(16)];
  let largestShift = 0;
  eliminated.forEach((frame, before) => {
    const step = frameStep(frame, posts, k);
    steps.set(step, 4 * (before + 1));
    for (let i = 0; i < 2; i++) largestShift = Math.max(largestShift, Math.abs(step[i]));
    own.push(ownCovariance(frame, k));
    common.push(commonCovariance(frame, s, k, n));
  });
  return { posts, frames: steps, largestShift, own, common };
}

/** A frame's own equations from its marks, which are added to those of the posts too. */
function addMarks(
  { s, right }: PostEquations,
  { freedom: k, posts, centre }: ShakeProblem,
  marks: readonly IndexedMark[],
  state: State,
): FrameEquations {
  const n = 2 * posts;
  const a = new Float64Array(k * k);
  const b = new Float64Array(k * n);
  const g = new Float64Array(k);
  for (const mark of marks) {
    const { residual, byFrame, byPost } = linearised(mark, state, centre);
    const weight = 1 / mark.uPx ** 2;
    const at = 2 * mark.post;
    for (const axis of [0, 1] as const) {
      const r = residual[axis];
      const [qAt, fAt] = [2 * axis, 4 * axis];
      for (let i = 0; i < 2; i++) {
        right[at + i] += weight * byPost[qAt + i] * r;
        for (let j = 0; j < 2; j++) s[(at + i) * n + at + j] += weight * byPost[qAt + i] * byPost[qAt + j];
      }
      for (let i = 0; i < k; i++) {
        const w = weight * byFrame[fAt + i];
        g[i] += w * r;
        for (let j = 0; j < k; j++) a[i * k + j] += w * byFrame[fAt + j];
        for (let j = 0; j < 2; j++) b[i * n + at + j] += w * byPost[qAt + j];
      }
    }
  }
  return { a, b, g };
}

/** What is known of a frame's turn and zoom before any mark: 0, to within its u. */
function addPriors({ a, g }: FrameEquations, problem: ShakeProblem, f: number, state: State): void {
  const k = problem.freedom;
  for (const [term, u] of [
    [2, problem.turnU[f]],
    [3, problem.zoomU[f]],
  ] as const) {
    if (term >= k) continue;
    a[term * k + term] += u ** -2;
    g[term] -= state.frames[4 * f + term] * u ** -2;
  }
}

/**
 * Takes a frame's numbers out of the posts' equations (the Schur complement); null where its
 * marks do not determine them.
 */
function eliminate(
  { a, b, g }: FrameEquations,
  { s, right }: PostEquations,
  k: number,
  n: number,
): EliminatedFrame | null {
  if (choleskyInPlace(a, k) === null) return null;
  const gain = new Float64Array(k * n);
  for (let j = 0; j < n; j++) {
    const column = Float64Array.from({ length: k }, (_, i) => b[i * n + j]);
    const solved = backSubstitute(a, k, forwardSubstitute(a, k, column));
    for (let i = 0; i < k; i++) gain[i * n + j] = solved[i];
  }
  const step = backSubstitute(a, k, forwardSubstitute(a, k, g));
  for (let i = 0; i < n; i++) {
    for (let l = 0; l < k; l++) {
      const w = b[l * n + i];
      if (w === 0) continue; // a post that this frame does not show
      right[i] -= w * step[l];
      for (let j = 0; j < n; j++) s[i * n + j] -= w * gain[l * n + j];
    }
  }
  return { factor: a, gain, step };
}

/** A frame's step once the posts' is known: A⁻¹g - G posts, [k]. */
function frameStep({ gain, step }: EliminatedFrame, posts: Float64Array, k: number): Float64Array {
  const n = posts.length;
  return Float64Array.from({ length: k }, (_, i) => {
    let sum = step[i];
    for (let j = 0; j < n; j++) sum -= gain[i * n + j] * posts[j];
    return sum;
  });
}

/** A⁻¹ column by column, in the frame's four numbers, [4*4]. */
function ownCovariance({ factor }: EliminatedFrame, k: number): Float64Array {
  const own = new Float64Array(16);
  for (let i = 0; i < k; i++) {
    const unit = Float64Array.from({ length: k }, (_, j) => (i === j ? 1 : 0));
    const column = backSubstitute(factor, k, forwardSubstitute(factor, k, unit));
    for (let j = 0; j < k; j++) own[4 * j + i] = column[j];
  }
  return own;
}

/**
 * G S⁻¹ Gᵀ from half-solved rows of G, in the frame's four numbers, [4*4]. @param s the Cholesky factor of S
 */
function commonCovariance({ gain }: EliminatedFrame, s: Float64Array, k: number, n: number): Float64Array {
  const common = new Float64Array(16);
  const halves = Array.from({ length: k }, (_, i) =>
    forwardSubstitute(s, n, gain.subarray(i * n, (i + 1) * n)),
  );
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      common[4 * i + j] = halves[i].reduce((sum, v, l) => sum + v * halves[j][l], 0);
    }
  }
  return common;
}

/**
 * Seen minus predicted, with the prediction's derivatives: by the frame's four numbers [2*4] and
 * by the post's place [2*2].
 */
function linearised(mark: IndexedMark, state: State, centre: PxPoint) {
  const at = 4 * mark.frame;
  const zoom = Math.exp(state.frames[at + 3]);
  const cos = zoom * Math.cos(state.frames[at + 2]);
  const sin = zoom * Math.sin(state.frames[at + 2]);
  const x = state.posts[2 * mark.post] - centre[0];
  const y = state.posts[2 * mark.post + 1] - centre[1];
  const [u, v] = [cos * x - sin * y, sin * x + cos * y];
  return {
    residual: [
      mark.px[0] - centre[0] - state.frames[at] - u,
      mark.px[1] - centre[1] - state.frames[at + 1] - v,
    ] as const,
    byFrame: [1, 0, -v, u, 0, 1, u, v],
    byPost: [cos, -sin, sin, cos],
  };
}
