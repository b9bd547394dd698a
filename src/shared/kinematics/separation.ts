import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";

/**
 * The rod's lead over the airframe along the launch direction in one frame: m, with its standard uncertainty.
 */
export interface Gap {
  readonly timeS: number;
  readonly gapM: number;
  readonly u: number;
}

const NEEDED_BEFORE = 4;
const NEEDED_AFTER = 3;
const GRID = 400; // instants tried between the first and the last that leave enough frames on both sides
const CLEAR_IN_U = 5;

/**
 * The instant at which the rod stops keeping up with the airframe: gap = g0 before it, g0 + b u + c u² after
 * it (u from it), least squares over frames, the instant by the least sum of squares and its u from where
 * that has risen by one (times the scatter found).
 * Source: Hudson, J. Am. Stat. Assoc. 61:1097 (1966) (segmented regression with an unknown join).
 * @param gaps [n], by time
 * @returns s; "too-few-frames" with `frames` and `needed`; "no-separation" when the last gap is
 *   within 5 u of the first ones
 */
export function separationTime(gaps: readonly Gap[]): Result<Measured, "too-few-frames" | "no-separation"> {
  const needed = NEEDED_BEFORE + NEEDED_AFTER + 2;
  if (gaps.length < needed) return refuse("too-few-frames", { frames: gaps.length, needed });
  const home = gaps.slice(0, NEEDED_BEFORE).reduce((sum, gap) => sum + gap.gapM, 0) / NEEDED_BEFORE;
  const last = gaps.at(-1) as Gap;
  if (Math.abs(last.gapM - home) < CLEAR_IN_U * last.u)
    return refuse("no-separation", { gapM: last.gapM - home });
  const from = (gaps[NEEDED_BEFORE - 1] as Gap).timeS;
  const to = (gaps[gaps.length - NEEDED_AFTER] as Gap).timeS;
  const coarse = triedInstants(gaps, from, to);
  const near = (to - from) / GRID;
  const rough = leastOf(coarse).timeS;
  const tried = [...coarse, ...triedInstants(gaps, Math.max(from, rough - near), Math.min(to, rough + near))];
  const best = leastOf(tried);
  // A scatter beyond what is stated makes the instant as much less certain.
  const scatter = Math.max(1, best.chi2 / (gaps.length - 4));
  const inside = tried.filter((one) => one.chi2 <= best.chi2 + scatter).map((one) => one.timeS);
  const half = (Math.max(...inside) - Math.min(...inside)) / 2;
  return ok({ value: best.timeS, u: Math.max(half, near / 2) });
}

interface Tried {
  readonly timeS: number;
  readonly chi2: number;
}

function triedInstants(gaps: readonly Gap[], from: number, to: number): readonly Tried[] {
  return Array.from({ length: GRID + 1 }, (_, i) => {
    const timeS = from + ((to - from) * i) / GRID;
    return { timeS, chi2: joinedChi2(gaps, timeS) };
  });
}

function leastOf(tried: readonly Tried[]): Tried {
  return tried.reduce((least, one) => (one.chi2 < least.chi2 ? one : least));
}

/** Least weighted sum of squares with the join held at an instant. */
function joinedChi2(gaps: readonly Gap[], joinS: number): number {
  const n = 3;
  const gram = new Float64Array(n * n);
  const moment = new Float64Array(n);
  const span = (gaps.at(-1) as Gap).timeS - joinS;
  let constant = 0;
  for (const { timeS, gapM, u } of gaps) {
    const z = Math.max(0, timeS - joinS) / span;
    const row = [1, z, z * z];
    const weight = 1 / (u * u);
    constant += weight * gapM * gapM;
    for (let i = 0; i < n; i++) {
      moment[i] = moment[i] + weight * row[i] * gapM;
      for (let j = 0; j < n; j++) {
        gram[i * n + j] = gram[i * n + j] + weight * row[i] * row[j];
      }
    }
  }
  if (choleskyInPlace(gram, n) === null) return Number.POSITIVE_INFINITY;
  const half = forwardSubstitute(gram, n, moment);
  const x = backSubstitute(gram, n, half);
  let explained = 0;
  for (let i = 0; i < n; i++) explained += moment[i] * x[i];
  return Math.max(0, constant - explained);
}
