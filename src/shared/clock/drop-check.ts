import { chiSquareTail } from "../numeric/chi-square.ts";
import { type WeightedPolynomial, weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Doubt } from "./doubt.ts";
import { type DragParabola, type DroppedBall, dragParabola, dragRatio, terminalSpeed } from "./drag-fall.ts";
import type { PathMark } from "./dropped-frames.ts";

export interface DropInput {
  /**
   * Of the falling object alone, let go and not yet landed; by frame, strictly increasing. Frames are those
   * the camera took, and the part of one by which a late row was seen late; repeats are left out and not
   * counted. Places may be in px or in any other unit that the scale turns into metres.
   */
  readonly marks: readonly PathMark[];
  /** m/px, in the plane of the fall. */
  readonly scale: Measured;
  /** m/s², local. */
  readonly gravity: Measured;
  /** Null leaves drag out: then the rate comes out too high by half of what drag takes from g. */
  readonly ball: DroppedBall | null;
  /** rad, roll of the picture as the plumb gives it: true down is (-sin, cos) in the picture. */
  readonly plumbRad: number;
}

/** Each source's relative contribution to u(f)/f; all independent. */
export interface DropParts {
  readonly marks: number;
  readonly scale: number;
  readonly gravity: number;
  readonly drag: number;
}

export interface DropCheck {
  readonly captureRateHz: Measured;
  readonly parts: DropParts;
  /** px/frame², fitted, with u from the marks (widened where they scatter more than said). */
  readonly fallPxPerFrame2: Measured;
  /** Fitted acceleration over g, by drag. */
  readonly dragRatio: Measured;
  /** Frame at the vertex of the parabola. */
  readonly restFrame: number;
  readonly fit: {
    readonly rmsPx: number;
    readonly chi2: number;
    readonly dof: number;
    /** Probability of a larger χ² if the marks' u are right. */
    readonly chance: number;
    /** Cubic term over its u, after drag is taken out: free fall has none. */
    readonly cubicInU: number;
  };
  readonly doubts: readonly Doubt<"no-free-fall" | "marks-scatter" | "drag-left-out" | "leans">[];
}

export type DropRefusal = "too-few-marks" | "not-falling" | "rises-first";

const LEAST_MARKS = 8; // a cubic must be testable with a few marks to spare
const FALL_IN_U = 10; // below this the square root is no longer linear to 1 %
const CUBIC_IN_U = 4;
const CHANCE_LEAST = 0.001;
const LEAN_ALLOWED = 0.02; // rad; cos 0.02 costs 2e-4 of the acceleration, 1e-4 of the rate

/**
 * The capture rate that a dropped object implies: y = c0 + c1 k + A k²/2 along the plumb (weighted least
 * squares over frames k), f = √(g r/(A s)), s in m/px, r the drag ratio of this very fall, found by going
 * round since the time of fall needs f. (u(f)/f)² = ¼ [(u_A/A)² + (u_s/s)² + (u_g/g)² + (u_r/r)²]. For N even
 * frames with σ each, u_A = σ √(720/(N (N² - 1)(N² - 4))).
 * Source: JCGM 100:2008, 5.1.2; the u_A formula follows from the normal equations.
 * @returns "too-few-marks" under 8; "not-falling" when A <= 10 u(A); "rises-first" with a ball, when marks
 *   lie before the rest, where drag would act the other way (thrown up, or marked before it was let go)
 * @throws RangeError when frames do not increase, a number is not finite, or scale, gravity or a u is not > 0
 */
export function dropCheck(input: DropInput): Result<DropCheck, DropRefusal> {
  const { marks, scale, gravity, ball } = input;
  checkInput(input);
  if (marks.length < LEAST_MARKS)
    return refuse("too-few-marks", { marks: marks.length, neededMarks: LEAST_MARKS });
  const frames = marks.map(({ frame }) => frame);
  const us = marks.map(({ u }) => u);
  const [sin, cos] = [Math.sin(input.plumbRad), Math.cos(input.plumbRad)];
  const down = marks.map(({ x, y }) => y * cos - x * sin);
  const parabola = weightedPolynomial(frames, down, us, 2);
  const fall = accelerationOf(parabola);
  if (!(fall.value > FALL_IN_U * fall.u)) {
    return refuse("not-falling", { fallPxPerFrame2: fall.value, neededPxPerFrame2: FALL_IN_U * fall.u });
  }
  const restFrame = restOf(parabola);
  const first = frames[0];
  if (ball !== null && first < restFrame - 1 - 3 * uRest(parabola))
    return refuse("rises-first", { first, restFrame });
  const drag = dragOf(input, restFrame, fall.value);
  const clean = down.map((y, i) => y - drag.missesM[i] / scale.value);
  const fit = weightedPolynomial(frames, clean, us, 2);
  const widen = Math.max(1, Math.sqrt(fit.chi2 / fit.dof));
  const a = { value: fall.value, u: fall.u * widen };
  const parts = {
    marks: a.u / a.value / 2,
    scale: scale.u / scale.value / 2,
    gravity: gravity.u / gravity.value / 2,
    drag: drag.ratio.u / drag.ratio.value / 2,
  };
  const rate = Math.sqrt((gravity.value * drag.ratio.value) / (a.value * scale.value));
  const u = rate * Math.hypot(parts.marks, parts.scale, parts.gravity, parts.drag);
  const quality = {
    rmsPx: Math.sqrt(fit.residuals.reduce((sum, r) => sum + r * r, 0) / marks.length),
    chi2: fit.chi2,
    dof: fit.dof,
    chance: chiSquareTail(fit.chi2, fit.dof),
    cubicInU: cubicInU(frames, clean, us),
  };
  return ok({
    captureRateHz: { value: rate, u },
    parts,
    fallPxPerFrame2: a,
    dragRatio: drag.ratio,
    restFrame,
    fit: quality,
    doubts: doubtsOf(input, quality, widen, leanOf(input, a)),
  });
}

const ROUNDS = 30; // each takes the error down by about the drag's share of g, a fifth at worst

interface FallDrag {
  readonly ratio: Measured;
  readonly missesM: readonly number[];
}

/**
 * The drag of this very fall: the true rest, hence the time fallen, follows from the rate and from how
 * drag bends the parabola.
 */
function dragOf({ ball, gravity, scale, marks }: DropInput, restFrame: number, fall: number): FallDrag {
  const us = marks.map(({ u }) => u);
  if (ball === null) return { ratio: { value: 1, u: 0 }, missesM: us.map(() => 0) };
  const terminal = terminalSpeed(ball, gravity.value).value;
  let bent: DragParabola = { ratio: 1, restS: 0, missesM: [] };
  let timesS: readonly number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const rate = Math.sqrt((gravity.value * bent.ratio) / (fall * scale.value));
    const trueRest = restFrame - bent.restS * rate;
    timesS = marks.map(({ frame }) => (frame - trueRest) / rate);
    const before = bent.ratio;
    bent = dragParabola(terminal, gravity.value, timesS, us);
    if (Math.abs(bent.ratio - before) < 1e-11) break;
  }
  return { ratio: dragRatio(ball, gravity.value, timesS, us), missesM: bent.missesM };
}

/**
 * Downward acceleration of the marks per frame², in their unit, as dropCheck fits it: what moves it moves the
 * rate by half as much, the other way.
 */
export function fallPerFrame2(marks: readonly PathMark[], plumbRad: number): Measured {
  const [sin, cos] = [Math.sin(plumbRad), Math.cos(plumbRad)];
  return accelerationOf(
    weightedPolynomial(
      marks.map(({ frame }) => frame),
      marks.map(({ x, y }) => y * cos - x * sin),
      marks.map(({ u }) => u),
      2,
    ),
  );
}

function accelerationOf({ coefficients, covariance, half }: WeightedPolynomial): Measured {
  return {
    value: (2 * coefficients[2]) / half ** 2,
    u: (2 * Math.sqrt(covariance[2]?.[2])) / half ** 2,
  };
}

/** Vertex of c0 + c1 z + c2 z² in frames. */
function restOf({ coefficients: [, c1, c2], centre, half }: WeightedPolynomial): number {
  return centre - (half * c1) / (2 * c2);
}

function uRest({ coefficients: [, c1, c2], covariance, half }: WeightedPolynomial): number {
  const [v11, v12, v22] = [covariance[1]?.[1], covariance[1]?.[2], covariance[2]?.[2]] as [
    number,
    number,
    number,
  ];
  const q = c1 / c2;
  return (half / (2 * Math.abs(c2))) * Math.sqrt(Math.max(0, v11 - 2 * q * v12 + q * q * v22));
}

function cubicInU(frames: readonly number[], y: readonly number[], us: readonly number[]): number {
  const { coefficients, covariance, chi2, dof } = weightedPolynomial(frames, y, us, 3);
  const u = Math.sqrt(covariance[3]?.[3]) * Math.max(1, Math.sqrt(chi2 / dof));
  return coefficients[3] / u;
}

/** rad, direction of the fitted acceleration from the plumb, with its u. */
function leanOf({ marks, plumbRad }: DropInput, fall: Measured): Measured {
  const [sin, cos] = [Math.sin(plumbRad), Math.cos(plumbRad)];
  const across = accelerationOf(
    weightedPolynomial(
      marks.map(({ frame }) => frame),
      marks.map(({ x, y }) => x * cos + y * sin),
      marks.map(({ u }) => u),
      2,
    ),
  );
  return { value: Math.atan2(across.value, fall.value), u: Math.hypot(across.u, fall.u) / fall.value };
}

function doubtsOf(
  input: DropInput,
  fit: DropCheck["fit"],
  widen: number,
  lean: Measured,
): DropCheck["doubts"] {
  const doubts: Doubt<"no-free-fall" | "marks-scatter" | "drag-left-out" | "leans">[] = [];
  if (Math.abs(fit.cubicInU) > CUBIC_IN_U) {
    doubts.push({ code: "no-free-fall", numbers: { cubicInU: fit.cubicInU, allowed: CUBIC_IN_U } });
  }
  if (fit.chance < CHANCE_LEAST)
    doubts.push({ code: "marks-scatter", numbers: { ratio: widen, rmsPx: fit.rmsPx } });
  if (input.ball === null) doubts.push({ code: "drag-left-out", numbers: {} });
  if (Math.abs(lean.value) > LEAN_ALLOWED + 3 * lean.u) {
    doubts.push({ code: "leans", numbers: { leanRad: lean.value, allowedRad: LEAN_ALLOWED } });
  }
  return doubts;
}

function checkInput({ marks, scale, gravity, plumbRad }: DropInput): void {
  const numbers = marks.flatMap(({ frame, x, y, u }) => [frame, x, y, u]);
  const ordered = marks.every(
    ({ frame, u }, i) => u > 0 && (i === 0 || frame > (marks[i - 1] as PathMark).frame),
  );
  if (![...numbers, plumbRad].every(Number.isFinite) || !ordered) {
    throw new RangeError("dropCheck: marks must be finite, by frame, each with u > 0");
  }
  if (!(scale.value > 0 && scale.u >= 0 && gravity.value > 0 && gravity.u >= 0)) {
    throw new RangeError(
      `dropCheck: need scale and gravity > 0; got ${scale.value} m/px, ${gravity.value} m/s²`,
    );
  }
}
