import { studentT } from "../numeric/student-t.ts";
import type { Measured } from "../quantity/measured.ts";
import { effectiveFreedom } from "../uncertainty/effective-freedom.ts";
import { COVERAGE } from "./repeatability.ts";
import type { Scatter } from "./repeats.ts";

/** Between which speeds the next shot will lie. */
export interface SpeedInterval {
  readonly low: number;
  readonly high: number;
  readonly coverage: number;
  /** Standard uncertainty of the next speed: model and scatter. */
  readonly u: number;
  /** Factor from u to half the interval's width. */
  readonly k: number;
  /** Effective degrees of freedom; null when they are without end, as with no scatter known. */
  readonly dof: number | null;
}

/**
 * Prediction interval of the next release speed: v ± k √(u² + (r v)²), r the relative scatter. k is that of
 * Student's t at the effective degrees of freedom of Welch and Satterthwaite, the model's own u counting as
 * known; no speed is below 0. Source: JCGM 100:2008, G.4.1, eq. G.2b.
 * @param speed predicted, u of the inputs
 * @param scatter null when none is known: the interval then holds the model's doubt alone
 */
export function speedInterval(speed: Measured, scatter: Scatter | null): SpeedInterval {
  const s = scatter === null ? 0 : scatter.relative * speed.value;
  const u = Math.hypot(speed.u, s);
  const dof = effectiveFreedom([
    { u: speed.u, dof: Infinity },
    { u: s, dof: scatter?.dof ?? Infinity },
  ]);
  const k = studentT(COVERAGE, dof);
  return {
    low: Math.max(0, speed.value - k * u),
    high: speed.value + k * u,
    coverage: COVERAGE,
    u,
    k,
    dof: Number.isFinite(dof) ? dof : null,
  };
}

/**
 * Probability that the next speed is within ± tolerance of the middle: the p whose t interval is that wide. 1
 * when nothing is in doubt.
 */
export function chanceWithin(tolerance: number, { u, dof }: SpeedInterval): number {
  if (!(tolerance > 0)) return 0;
  if (u === 0) return 1;
  const k = tolerance / u;
  let [low, high] = [0, 1];
  for (let i = 0; i < HALVINGS; i++) {
    const p = (low + high) / 2;
    if (studentT(p, dof ?? Infinity) < k) low = p;
    else high = p;
  }
  return (low + high) / 2;
}

const HALVINGS = 24; // 6e-8: far below what anybody reads
