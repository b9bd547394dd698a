import type { MotionCurves, PredictionCurves } from "../results/shot-result.ts";
import { interpolate } from "./interpolate.ts";

/**
 * `release`: the model's end of the push on the measured release. `position`: least squares
 * of position over the push.
 */
export type Alignment = "release" | "position";

export interface Aligned {
  /** s to add to a time from the measured release to get the model's time from its exit. */
  readonly shiftS: number;
  readonly how: string;
}

const SETTLED_S = 1e-9;

/**
 * The shift between the two clocks. By position it minimises Σ ((x_model(t_i + δ) − x_i)/u_i)² over the
 * measured times up to release, by Gauss and Newton's method from δ = 0; outside its curves the model rests
 * before and moves on at its exit speed after. When every u_i is 0 the weights are equal.
 */
export function align(by: Alignment, measured: MotionCurves, predicted: PredictionCurves): Aligned {
  const atRelease = "the model's end of the push is set at the measured release";
  if (by === "release") return { shiftS: 0, how: atRelease };
  const pushed = measured.timeS.flatMap((t, i) => (t <= 0 ? [i] : []));
  const weighted = pushed.every((i) => measured.position.u[i] > 0);
  let shift = 0;
  for (let iteration = 0; iteration < 50; iteration++) {
    let [gradient, curvature] = [0, 0];
    for (const i of pushed) {
      const { position, speed } = modelAt(predicted, measured.timeS[i] + shift);
      const weight = weighted ? 1 / measured.position.u[i] ** 2 : 1;
      gradient += weight * speed * (position - measured.position.value[i]);
      curvature += weight * speed * speed;
    }
    if (curvature === 0) break;
    const change = -gradient / curvature;
    shift += change;
    if (Math.abs(change) < SETTLED_S) {
      return { shiftS: shift, how: `least squares of position over the push, ${shiftText(shift)}` };
    }
  }
  return { shiftS: 0, how: `${atRelease}; least squares of position found no shift` };
}

function shiftText(shiftS: number): string {
  const ms = Math.abs(shiftS * 1e3).toFixed(2);
  return `the model's end of the push ${ms} ms ${shiftS > 0 ? "before" : "after"} the measured release`;
}

function modelAt({ timeS, position, speed }: PredictionCurves, t: number) {
  const last = timeS.length - 1;
  const v = t < timeS[0] ? 0 : interpolate(timeS, speed, t);
  const beyond = Math.max(0, t - timeS[last]);
  return { position: interpolate(timeS, position, t) + v * beyond, speed: v };
}
