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
   * Per mark: its distance from the fit in standard uncertainties of that distance, u² less what its own frame's transform takes up;
   * 0 where the transform takes up all of it.
   */
  readonly deviations: Float64Array;
  readonly converged: boolean;
  /** Per frame: covariance of its four numbers from its own marks [4*4], and from the posts' places [4*4], which all frames share. */
  readonly own: readonly Float64Array[];
  readonly common: readonly Float64Array[];
}

const MOST_PASSES = 50;
const SETTLED_PX = 1e-9;

/**
 * Least squares of all frames' transforms and all posts' places at once: a post at q in the reference frame is seen in frame f at
 * z = c + t + e^s R(a) (q - c). Gauss-Newton; frames are eliminated one by one (Schur complement), so that the cost grows with the number of frames
 * times the square of the number of posts. Source: Brown, the bundle adjustment: progress and prospects, XIII ISPRS Congress (1976).
 * @returns null when the posts' places are not determined
 */
export function fitShake(problem: ShakeProblem): ShakeFit | null {
  const state = {
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
    solved = solve(problem, byFrame, state);
    if (solved === null) return null;
    converged = Math.max(...solved.posts.map(Math.abs), solved.largestShift) < SETTLED_PX;
    state.posts.forEach((_, i) => {
      state.posts[i]! += solved!.posts[i]!;
    });
    state.frames.forEach((_, i) => {
      state.frames[i]! += solved!.frames[i]!;
    });
  }
  const deviations = new Float64Array(problem.marks.length);
  let chiSquare = 0;
  problem.marks.forEach((mark, i) => {
    const { residual, byFrame: j } = linearised(mark, state, problem.centre);
    const distance = Math.hypot(residual[0], residual[1]);
    chiSquare += (distance / mark.uPx) ** 2;
    const [xx, , yy] = carried(j, solved!.own[mark.frame]!, 4);
    const left = mark.uPx ** 2 - (xx + yy) / 2;
    deviations[i] = left > 1e-6 * mark.uPx ** 2 ? distance / Math.sqrt(left) : 0;
  });
  return { ...state, chiSquare, deviations, converged, own: solved!.own, common: solved!.common };
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

/** One Gauss-Newton step with the covariances it carries. */
function solve(problem: ShakeProblem, byFrame: readonly IndexedMark[][], state: State): Solved | null {
  const { freedom: k, frames, centre } = problem;
  const n = 2 * problem.posts;
  const reduced = new Float64Array(n * n);
  const right = new Float64Array(n);
  // Per frame: the factor of its own information, A⁻¹B and A⁻¹g.
  const kept: { factor: Float64Array; gain: Float64Array; step: Float64Array }[] = [];
  for (let f = 0; f < frames; f++) {
    const a = new Float64Array(k * k);
    const g = new Float64Array(k);
    const b = new Float64Array(k * n);
    for (const mark of byFrame[f]) {
      const { residual, byFrame: jf, byPost: jq } = linearised(mark, state, centre);
      const weight = 1 / mark.uPx ** 2;
      const at = 2 * mark.post;
      for (const row of [0, 1] as const) {
        const r = residual[row];
        for (let i = 0; i < 2; i++) {
          right[at + i] += weight * jq[2 * row + i] * r;
          for (let j = 0; j < 2; j++)
            reduced[(at + i) * n + at + j] += weight * jq[2 * row + i] * jq[2 * row + j];
        }
        for (let i = 0; i < k; i++) {
          const w = weight * jf[4 * row + i];
          g[i] += w * r;
          for (let j = 0; j < k; j++) a[i * k + j] += w * jf[4 * row + j];
          for (let j = 0; j < 2; j++) b[i * n + at + j] += w * jq[2 * row + j];
        }
      }
    }
    if (f === 0) {
      // The reference is not moved: its marks speak of the posts alone.
      kept.push({ factor: a, gain: new Float64Array(k * n), step: new Float64Array(k) });
      continue;
    }
    for (const [term, u] of [
      [2, problem.turnU[f]],
      [3, problem.zoomU[f]],
    ] as const) {
      if (term >= k) continue;
      a[term * k + term] += u ** -2;
      g[term] -= state.frames[4 * f + term] * u ** -2;
    }
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
        if (w === 0) continue;
        right[i] -= w * step[l];
        for (let j = 0; j < n; j++) reduced[i * n + j] -= w * gain[l * n + j];
      }
    }
    kept.push({ factor: a, gain, step });
  }
  if (choleskyInPlace(reduced, n) === null) return null;
  const posts = backSubstitute(reduced, n, forwardSubstitute(reduced, n, right));
  const out: Solved = { posts, frames: new Float64Array(4 * frames), largestShift: 0, own: [], common: [] };
  let largestShift = 0;
  kept.forEach(({ factor, gain, step }, f) => {
    const own = new Float64Array(16);
    const common = new Float64Array(16);
    if (f > 0) {
      for (let i = 0; i < k; i++) {
        let sum = step[i];
        for (let j = 0; j < n; j++) sum -= gain[i * n + j] * posts[j];
        out.frames[4 * f + i] = sum;
        if (i < 2) largestShift = Math.max(largestShift, Math.abs(sum));
        // Column i of A⁻¹ by the factor; G S⁻¹ Gᵀ by half-solved rows of G.
        const unit = Float64Array.from({ length: k }, (_, j) => (i === j ? 1 : 0));
        const column = backSubstitute(factor, k, forwardSubstitute(factor, k, unit));
        for (let j = 0; j < k; j++) own[4 * j + i] = column[j];
      }
      const halves = Array.from({ length: k }, (_, i) =>
        forwardSubstitute(reduced, n, gain.subarray(i * n, (i + 1) * n)),
      );
      for (let i = 0; i < k; i++)
        for (let j = 0; j < k; j++)
          common[4 * i + j] = halves[i].reduce((sum, v, l) => sum + v * halves[j][l], 0);
    }
    out.own.push(own);
    out.common.push(common);
  });
  return { ...out, largestShift };
}

/** Seen minus predicted, with the prediction's derivatives: by the frame's four numbers [2*4] and by the post's place [2*2]. */
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
