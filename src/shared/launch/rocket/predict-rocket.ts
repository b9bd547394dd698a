import { findRoot } from "../../numeric/find-root.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { lastOf } from "../../quantity/known-element.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { rocketInputProblem } from "./rocket-checks.ts";
import type { RocketInputs, RocketPeak, RocketPrediction, RocketState } from "./rocket-inputs.ts";
import {
  againstThrust,
  PITCH,
  PITCH_RATE,
  type RocketMotion,
  type RocketPiece,
  rocketMotion,
  rocketRhs,
  SPEED,
  stateIn,
  TRAVEL,
  YAW,
  YAW_RATE,
} from "./rocket-motion.ts";
import {
  lastBurnout,
  lineAt,
  massAt,
  separationTime,
  type ThrustStretch,
  thrustStretches,
} from "./rocket-thrust.ts";
import { greatestTurning } from "./rocket-turning.ts";

export type RocketRefusal =
  | "no-motor-lit"
  | "never-lifts-off"
  | "never-leaves"
  | "separates-on-cradle"
  | "turns-over-on-cradle";

const DEFAULT_REL_TOL = 1e-9; // keeps 9 digits in the checked boosts
const LONGEST_COAST_S = 10; // on the cradle after the last thrust
// An airframe turned by this while its cradle is meant to carry it is on its way over: a judgement, no
// source. The thrust, taken as along the path, has lost 29 % of itself there.
const MOST_TURN_RAD = Math.PI / 4;

/**
 * Boost of an airframe from rest on a cradle by rocket motors, t from the first ignition. Along the cradle,
 * which is taken as the whole path:
 * m v̇ = ΣF cos a cos b − m g sin θ − ½ρ C_dA w|w| − F_c, w = v + headwind cos θ, F_c only on the cradle;
 * m = m_0 − Σ m_p I(t)/I of lit motors, less the booster after its separation. The airframe rests until the
 * right side is above 0. I_yy q̇ = Σ(x F_u − z F_f), I_zz ṙ = Σ(x F_r − y F_f): thrust off the centre of
 * gravity and tilted thrust turn it, from lift-off on a cradle that lets it turn, else from leaving. No
 * aerodynamic moment opposes, the centre of gravity stays where it is as propellant burns, and the thrust
 * stays along the path: bounds for the first moments of flight, not a trajectory. Integrated stretch by
 * stretch between the bends of the thrust curves, with events at rest and at the end of the cradle.
 * @param options.untilS s, go on at least so long
 * @returns the prediction; or a refusal: "no-motor-lit"; "never-lifts-off" ({ thrustN, neededN }, where the
 *   excess was greatest); "never-leaves" ({ positionM, railM }, the farthest it came);
 *   "separates-on-cradle" ({ timeS, positionM }); "turns-over-on-cradle" where it has turned by more than 45°
 *   before it leaves ({ turnedRad, timeS })
 * @throws RangeError naming the field, on an impossible input or relTol outside (0, 1e-3]
 */
export function predictRocket(
  inputs: RocketInputs,
  options: { readonly relTol?: number; readonly untilS?: number } = {},
): Result<RocketPrediction, RocketRefusal> {
  const problem = rocketInputProblem(inputs);
  if (problem) {
    throw new RangeError(`predictRocket: ${problem.field} must be ${problem.need}; got ${problem.value}`);
  }
  const { relTol = DEFAULT_REL_TOL, untilS = 0 } = options;
  if (!(relTol > 0 && relTol <= 1e-3))
    throw new RangeError(`predictRocket: relTol ${relTol} is not in (0, 1e-3]`);
  const burntOutS = lastBurnout(inputs.motors);
  if (burntOutS === -Infinity) return refuse("no-motor-lit");
  const separationS = separationTime(inputs);
  const endS = Math.max(burntOutS, separationS < Infinity ? separationS : 0, untilS);
  const stretches = thrustStretches(inputs, endS + LONGEST_COAST_S);
  const motion = rocketMotion(inputs, stretches, endS, relTol);
  if (Number.isNaN(motion.liftOffS)) return refuse("never-lifts-off", greatestExcess(inputs, stretches));
  const farthestM = Math.max(...motion.pieces.map(({ start, run }) => (run?.y ?? start)[TRAVEL]));
  if (Number.isNaN(motion.leaveS)) {
    return refuse("never-leaves", { positionM: farthestM, railM: inputs.railM });
  }
  if (separationS <= motion.leaveS) {
    const { positionM } = stateAt(inputs, motion, separationS);
    return refuse("separates-on-cradle", { timeS: separationS, positionM });
  }
  const turned = greatestTurning(inputs, motion.pieces, motion.leaveS);
  const turnedRad = Math.max(Math.abs(turned.pitchRad ?? 0), Math.abs(turned.yawRad ?? 0));
  if (turnedRad > MOST_TURN_RAD) {
    return refuse("turns-over-on-cradle", { turnedRad, timeS: motion.leaveS });
  }
  return ok(describe(inputs, motion, Math.max(endS, motion.leaveS), { burntOutS, separationS }));
}

function describe(
  inputs: RocketInputs,
  motion: RocketMotion,
  endS: number,
  { burntOutS, separationS }: { readonly burntOutS: number; readonly separationS: number },
): RocketPrediction {
  const at = (timeS: number) => {
    if (Number.isNaN(timeS)) throw new RangeError("RocketPrediction.at: time is not a number");
    return stateAt(inputs, motion, Math.min(endS, Math.max(0, timeS)));
  };
  const boostedS = Math.min(burntOutS, separationS);
  const cradlePeak = peakBetween(inputs, motion, motion.liftOffS, motion.leaveS);
  const freePeak = peakBetween(inputs, motion, motion.leaveS, boostedS);
  const runs = motion.pieces.flatMap(({ run }) => (run ? [run] : []));
  return {
    liftOffS: motion.liftOffS,
    leaving: at(motion.leaveS),
    burnout: at(boostedS),
    separation: separationS < Infinity ? at(separationS) : null,
    cradlePeak,
    boostPeak: freePeak.value > cradlePeak.value ? freePeak : cradlePeak,
    turning: greatestTurning(inputs, motion.pieces, boostedS),
    burningAtSeparation: inputs.motors
      .filter(({ lit, delayS, curve }) => lit && delayS + lastOf(curve)[0] > separationS)
      .map(({ name }) => name),
    endS,
    steps: {
      taken: runs.reduce((sum, run) => sum + run.steps.length, 0),
      rejected: runs.reduce((sum, run) => sum + run.rejected, 0),
    },
    at,
  };
}

function stateAt(inputs: RocketInputs, motion: RocketMotion, t: number): RocketState {
  const piece = pieceAt(motion.pieces, t);
  const y = stateIn(piece, t);
  const slope = new Float64Array(y.length);
  rocketRhs(inputs, piece.phase, piece.stretch)(t, y, slope);
  const tau = t - piece.stretch.t0;
  const pitches = inputs.pitchInertiaKgM2 !== null;
  const yaws = inputs.yawInertiaKgM2 !== null;
  return {
    timeS: t,
    positionM: y[TRAVEL],
    speedMPerS: y[SPEED],
    accelerationMPerS2: slope[SPEED],
    massKg: massAt(piece.stretch, tau),
    thrustN: lineAt(piece.stretch.along, tau),
    pitchRad: pitches ? y[PITCH] : null,
    pitchRateRadPerS: pitches ? y[PITCH_RATE] : null,
    yawRad: yaws ? y[YAW] : null,
    yawRateRadPerS: yaws ? y[YAW_RATE] : null,
  };
}

/** The first piece that reaches t, so that a jump shows the state before it. */
function pieceAt(pieces: readonly RocketPiece[], t: number): RocketPiece {
  let [low, high] = [0, pieces.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (pieces[middle].t1 >= t) high = middle;
    else low = middle + 1;
  }
  return pieces[low];
}

/**
 * Greatest acceleration along the path between two times. Inside a stretch the acceleration is
 * smooth; where it stops rising inside a step, the top is found on the dense output, whose error
 * enters only through the drag.
 */
function peakBetween(inputs: RocketInputs, motion: RocketMotion, fromS: number, toS: number): RocketPeak {
  let best: RocketPeak = { value: -Infinity, timeS: Number.NaN };
  const slope = new Float64Array(6);
  for (const piece of motion.pieces) {
    if (piece.run === null || piece.t0 < fromS || piece.t0 >= toS) continue;
    const rhs = rocketRhs(inputs, piece.phase, piece.stretch);
    const looked = (timeS: number) => {
      const y = stateIn(piece, timeS);
      rhs(timeS, y, slope);
      const value = slope[SPEED];
      if (value > best.value) best = { value, timeS };
      return jerkOf(inputs, piece, timeS, y, value);
    };
    const end = Math.min(piece.t1, toS);
    let [t, jerk] = [piece.t0, looked(piece.t0)];
    for (const step of piece.run.steps) {
      const next = Math.min(end, step.t0 + step.h);
      const nextJerk = looked(next);
      if (jerk > 0 && nextJerk < 0) looked(findRoot(looked, t, jerk, next, nextJerk, 1e-12));
      [t, jerk] = [next, nextJerk];
      if (t >= end) break;
    }
  }
  return best;
}

/** da/dt of m a = F − m g sin θ − D − F_c: ȧ = (Ḟ − Ḋ − ṁ (a + g sin θ))/m, with Ḋ = ρ C_dA |w| a. */
function jerkOf(
  inputs: RocketInputs,
  { stretch }: RocketPiece,
  t: number,
  y: Float64Array,
  a: number,
): number {
  const tau = t - stretch.t0;
  const air = Math.abs(y[SPEED] + inputs.headwindMPerS * Math.cos(inputs.angleRad));
  const dragRate = inputs.airDensity * inputs.dragAreaM2 * air * a;
  const lost = lineAt(stretch.burn, tau) * (a + STANDARD_GRAVITY * Math.sin(inputs.angleRad));
  return (stretch.along.slope - dragRate + lost) / massAt(stretch, tau);
}

/** Thrust along the cradle and what it would have to exceed, where it comes nearest. */
function greatestExcess(
  inputs: RocketInputs,
  stretches: readonly ThrustStretch[],
): { readonly thrustN: number; readonly neededN: number } {
  let best = { thrustN: 0, neededN: Infinity };
  for (const stretch of stretches) {
    for (const tau of [0, stretch.t1 - stretch.t0]) {
      const thrustN = lineAt(stretch.along, tau);
      const neededN = againstThrust(inputs, massAt(stretch, tau), 0) + inputs.slidingN;
      if (thrustN - neededN > best.thrustN - best.neededN) best = { thrustN, neededN };
    }
  }
  return best;
}
