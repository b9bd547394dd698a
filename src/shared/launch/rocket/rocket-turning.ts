import { findRoot } from "../../numeric/find-root.ts";
import type { RocketInputs, RocketTurning } from "./rocket-inputs.ts";
import { PITCH, PITCH_RATE, type RocketPiece, stateIn, YAW, YAW_RATE } from "./rocket-motion.ts";
import { lineAt } from "./rocket-thrust.ts";

/** Where an axis stands in the state vector, and its moment in a stretch. */
const AXES = {
  pitch: { angle: PITCH, rate: PITCH_RATE },
  yaw: { angle: YAW, rate: YAW_RATE },
} as const;

/**
 * Greatest turn to either side from rest until `untilS`, with its sign: of the angles from the attitude on
 * the cradle, and of their rates. A rate is greatest where its moment is 0, an angle where its rate is, or at
 * the end of a piece; the moments are straight lines within a stretch.
 * @returns null for an axis without inertia
 */
export function greatestTurning(
  { pitchInertiaKgM2, yawInertiaKgM2 }: RocketInputs,
  pieces: readonly RocketPiece[],
  untilS: number,
): RocketTurning {
  const pitch = pitchInertiaKgM2 === null ? null : greatestOf("pitch", pieces, untilS);
  const yaw = yawInertiaKgM2 === null ? null : greatestOf("yaw", pieces, untilS);
  return {
    pitchRad: pitch?.angle ?? null,
    pitchRateRadPerS: pitch?.rate ?? null,
    yawRad: yaw?.angle ?? null,
    yawRateRadPerS: yaw?.rate ?? null,
  };
}

function greatestOf(
  axis: keyof typeof AXES,
  pieces: readonly RocketPiece[],
  untilS: number,
): { readonly angle: number; readonly rate: number } {
  const { angle, rate } = AXES[axis];
  const most = { angle: 0, rate: 0 };
  const consider = (y: Float64Array) => {
    if (Math.abs(y[angle]) > Math.abs(most.angle)) most.angle = y[angle];
    if (Math.abs(y[rate]) > Math.abs(most.rate)) most.rate = y[rate];
  };
  for (const piece of pieces) {
    if (piece.run === null || piece.t0 >= untilS) continue;
    const end = Math.min(piece.t1, untilS);
    const moment = (t: number) => lineAt(piece.stretch[axis], t - piece.stretch.t0);
    const turning = (t: number) => stateIn(piece, t)[rate];
    const steps = piece.run.steps.map(({ t0, h }) => t0 + h).filter((t) => t < end);
    let before = piece.t0;
    for (const t of [...steps, end]) {
      consider(stateIn(piece, t));
      for (const of of [moment, turning]) {
        const [a, b] = [of(before), of(t)];
        if (a * b < 0) consider(stateIn(piece, findRoot(of, before, a, t, b, 1e-12)));
      }
      before = t;
    }
  }
  return most;
}
