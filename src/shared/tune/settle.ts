import type { FitProblem } from "../numeric/fit-problem.ts";
import { type Fit, levenbergMarquardt } from "../numeric/levenberg-marquardt.ts";

const STEPS_EACH = 12;
const ROUNDS = 8;
const NEAR = 0.1; // of chi-square: a third of a standard uncertainty

/**
 * A fit that begins again, with next to no damping, where it has not settled after some steps. A start far
 * from the fit calls for much damping, which would leave it only slowly near the fit, where none is needed.
 * Where the model has a kink (break-away meets sliding friction) no step settles for good; one that would
 * gain less than a third of a standard uncertainty is then near enough.
 */
export function settle(problem: FitProblem): Fit {
  let fit = levenbergMarquardt({ ...problem, mostSteps: STEPS_EACH });
  for (let round = 1; round < ROUNDS && fit.end === "too-many-steps"; round++) {
    const next = levenbergMarquardt({ ...problem, start: fit.parameters, mostSteps: STEPS_EACH });
    fit = { ...next, steps: fit.steps + next.steps };
  }
  return { ...fit, converged: fit.converged || fit.promised < NEAR };
}
