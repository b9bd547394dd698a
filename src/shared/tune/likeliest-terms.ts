import { triangularise } from "../numeric/householder.ts";
import { NO_TERMS, TERM_NAMES, type TermName, type TermSizes } from "./shot-terms.ts";
import type { ShotToTune } from "./tuned-shot.ts";
import { tuningProblem } from "./tuning-problem.ts";
import type { Unknown } from "./unknowns.ts";

// relative speeds: nothing, then a thousandth to a tenth in steps of a fifth
const SIZES = [0, ...Array.from({ length: 25 }, (_, i) => 1e-3 * 10 ** (i / 12))];
const ROUNDS = 2;

/**
 * How much shots differ for reasons that stand in no input, from the shots: the sizes that make the residuals
 * most likely, all else fitted, -2 ln L = min |r + J δ|² + ln det(JᵀJ) with the terms' columns of J in
 * proportion to their sizes, one term after the other and once more. Each unknown's row of unit weight is in
 * J, so that the determinant counts what the data are used up for: restricted maximum likelihood, in the
 * approximation of Laplace about the fit. Source: Patterson & Thompson, Biometrika 58:545 (1971).
 * @param z of the fit without terms
 * @returns sizes among fixed ones, 0 where the shots do not differ
 */
export function likeliestTerms(shots: readonly ShotToTune[], z: Float64Array): TermSizes {
  const { fit, unknowns, dataRows } = tuningProblem(shots, new Set(), 1, { speed: 1, early: 1 });
  const n = unknowns.length;
  const jacobian = new Float64Array(fit.count * n);
  const residuals = new Float64Array(fit.count);
  fit.jacobian!(z, jacobian);
  fit.residuals(z, residuals);
  const termOf = unknowns.map((unknown) => (isTerm(unknown) ? unknown.kind : null));
  const deviance = (sizes: TermSizes) => {
    const a = jacobian.slice();
    termOf.forEach((name, j) => {
      if (name !== null) for (let i = 0; i < dataRows; i++) a[i * n + j] *= sizes[name];
    });
    const b = residuals.slice();
    triangularise(a, fit.count, n, b);
    let sum = 0;
    for (let i = n; i < fit.count; i++) sum += b[i] ** 2;
    for (let j = 0; j < n; j++) sum += 2 * Math.log(Math.abs(a[j * n + j]));
    return sum;
  };
  let best = NO_TERMS;
  for (let round = 0; round < ROUNDS; round++) {
    for (const name of TERM_NAMES) {
      const tried = SIZES.map((size) => ({ ...best, [name]: size }));
      const deviances = tried.map(deviance);
      best = tried[deviances.indexOf(Math.min(...deviances))];
    }
  }
  return best;
}

function isTerm(unknown: Unknown): unknown is Extract<Unknown, { kind: TermName }> {
  return TERM_NAMES.some((name) => name === unknown.kind);
}
