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
  const jacobian = new Float64Array(fit.count * unknowns.length);
  const residuals = new Float64Array(fit.count);
  fit.jacobian!(z, jacobian);
  fit.residuals(z, residuals);
  const termOf = unknowns.map((unknown) => (isTerm(unknown) ? unknown.kind : null));
  const deviance = devianceOf(jacobian, residuals, dataRows, termOf);
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

/**
 * -2 ln L of sizes, but for a constant. What no size changes is factored once: the columns of the unknowns
 * that are no terms, with their rows of unit weight, and what is then left of the terms' columns.
 * @param jacobian [m*n], its last n rows those of unit weight  @param termOf of each unknown, null where none
 */
function devianceOf(
  jacobian: Float64Array,
  residuals: Float64Array,
  dataRows: number,
  termOf: readonly (TermName | null)[],
): (sizes: TermSizes) => number {
  const n = termOf.length;
  const plain = [...termOf.keys()].filter((j) => termOf[j] === null);
  const terms = [...termOf.keys()].filter((j) => termOf[j] !== null);
  const k = terms.length;
  const order = [...plain, ...terms];
  // Every row but those that hold a term to 0.
  const rows = [...Array(dataRows).keys(), ...plain.map((j) => dataRows + j)];
  const a = new Float64Array(rows.length * n);
  const b = Float64Array.from(rows, (row) => residuals[row]);
  rows.forEach((row, i) => {
    order.forEach((column, j) => {
      a[i * n + j] = jacobian[row * n + column];
    });
  });
  triangularise(a, rows.length, n, b);
  const inner = Float64Array.from(
    { length: k * k },
    (_, i) => a[(plain.length + Math.floor(i / k)) * n + plain.length + (i % k)],
  );
  let left = 0;
  for (let i = n; i < rows.length; i++) left += b[i] ** 2;
  return (sizes) => {
    const stacked = new Float64Array(2 * k * k);
    const beside = new Float64Array(2 * k);
    beside.set(b.subarray(plain.length, n));
    for (let j = 0; j < k; j++) {
      for (let i = 0; i <= j; i++) stacked[i * k + j] = inner[i * k + j] * sizes[termOf[terms[j]]!];
      stacked[(k + j) * k + j] = 1;
      beside[k + j] = residuals[dataRows + terms[j]];
    }
    triangularise(stacked, 2 * k, k, beside);
    let sum = left;
    for (let i = k; i < 2 * k; i++) sum += beside[i] ** 2;
    for (let j = 0; j < k; j++) sum += 2 * Math.log(Math.abs(stacked[j * k + j]));
    return sum;
  };
}

function isTerm(unknown: Unknown): unknown is Extract<Unknown, { kind: TermName }> {
  return TERM_NAMES.some((name) => name === unknown.kind);
}
