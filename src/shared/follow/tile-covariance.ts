import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { turnedCovariance, type WarpCovariance } from "./match-covariance.ts";
import type { Match } from "./match-template.ts";
import type { Template } from "./template.ts";

const TERMS = 5;
const THETA = 2;
const ACROSS = 3; // tiles to a side of the disc

/**
 * Covariance of a match from how far it moves when a part of the picture is left out: nine tiles of the
 * disc, each left out in turn, V = (m - 1)/m Σ (δ_t - δ̄)(δ_t - δ̄)ᵀ over m tiles, with one Gauss-Newton
 * step each from the match. It tells what residuals taken sample by sample do not: a glint, smoke or a
 * coder's block that draws a part of the disc its own way. Source: Efron & Stein, Ann. Stat. 9:586 (1981),
 * the jackknife's variance; whole groups left out as in Künsch, Ann. Stat. 17:1217 (1989), for what is
 * correlated within a group.
 * @returns null when a tile alone fixes the place
 */
export function tileCovariance(template: Template, match: Match): WarpCovariance | null {
  const { dx, dy, slopeX, slopeY, values, radius } = template;
  const { weights, left, gain } = match;
  const turns = match.inverse[THETA * TERMS + THETA] > 0;
  const tiles = ACROSS * ACROSS;
  const size = TERMS * (TERMS + 1); // of a tile's sums: the normal matrix and its right side
  const sums = new Float64Array(tiles * size);
  const whole = new Float64Array(size);
  const tileOf = (d: number) => Math.min(ACROSS - 1, Math.floor(((d + radius) * ACROSS) / (2 * radius + 1)));
  const column = new Float64Array(TERMS);
  for (let i = 0; i < values.length; i++) {
    column[0] = slopeX[i];
    column[1] = slopeY[i];
    column[THETA] = turns ? -dy[i] * slopeX[i] + dx[i] * slopeY[i] : 0;
    column[3] = values[i];
    column[4] = 1;
    const from = (tileOf(dy[i]) * ACROSS + tileOf(dx[i])) * size;
    for (let a = 0; a < TERMS; a++) {
      const weighted = weights[i] * column[a];
      for (let b = 0; b <= a; b++) sums[from + a * TERMS + b] += weighted * column[b];
      sums[from + TERMS * TERMS + a] += weighted * left[i];
    }
  }
  for (let at = 0; at < sums.length; at++) whole[at % size] += sums[at];
  const steps: Float64Array[] = [];
  for (let tile = 0; tile < tiles; tile++) {
    const rest = whole.map((sum, k) => sum - sums[tile * size + k]);
    const normal = rest.slice(0, TERMS * TERMS);
    if (!turns) normal[THETA * TERMS + THETA] = 1;
    if (choleskyInPlace(normal, TERMS) === null) return null;
    const right = rest.slice(TERMS * TERMS);
    const step = backSubstitute(normal, TERMS, forwardSubstitute(normal, TERMS, right));
    steps.push(step.map((one) => one / gain));
  }
  return turnedCovariance(spreadOf(steps), match.theta);
}

function spreadOf(steps: readonly Float64Array[]): Float64Array {
  const m = steps.length;
  const mean = [0, 1, 2].map((k) => steps.reduce((sum, step) => sum + step[k], 0) / m);
  return Float64Array.from({ length: 9 }, (_, at) => {
    const [a, b] = [Math.floor(at / 3), at % 3];
    const sum = steps.reduce((all, step) => all + (step[a] - mean[a]) * (step[b] - mean[b]), 0);
    return ((m - 1) / m) * sum;
  });
}
