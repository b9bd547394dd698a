import { denseAt, step, stepScratch } from "../../numeric/dormand-prince.ts";
import { findRoot } from "../../numeric/find-root.ts";
import type { DenseStep, Rhs } from "../../numeric/stepper.ts";
import type { RamModel } from "./ram-model.ts";
import type { RamRun } from "./ram-phase.ts";
import { SPEED } from "./ram-state.ts";

/**
 * Greatest acceleration along the push and its time. Inside a step it is where the jerk falls through 0,
 * located by repeating the step to that instant (order 5, not the order of the dense output; where the step
 * was implicit, on the dense output); otherwise it stands at the end of a run.
 */
export function peakAcceleration(
  model: RamModel,
  runs: readonly RamRun[],
): { readonly value: number; readonly timeS: number } {
  let best = { value: -Infinity, timeS: Number.NaN };
  const consider = (value: number, timeS: number) => {
    if (value > best.value) best = { value, timeS };
  };
  const size = runs[0].run.y.length;
  const before = new Float64Array(size);
  const after = new Float64Array(size);
  for (const { phase, run } of runs.filter(({ phase }) => phase.moving)) {
    const rhs = model.rhs(phase);
    for (const dense of run.steps) {
      const { t0, h } = dense;
      endSlopes(dense, before, after);
      consider(before[SPEED], t0);
      consider(after[SPEED], t0 + h);
      const rising = model.jerk(before);
      const falling = model.jerk(after);
      if (!(rising > 0 && falling < 0)) continue;
      const slopeAfter = dense.implicit ? slopeOnDense(rhs, dense, size) : slopeByStep(rhs, dense, size);
      const part = findRoot((x) => model.jerk(slopeAfter(x)), 0, rising, h, falling, 1e-15 * (t0 + h));
      consider(slopeAfter(part)[SPEED], t0 + part);
    }
  }
  return best;
}

/** dy/dt after part of an explicit step, by taking that part as a step. */
function slopeByStep(rhs: Rhs, { t0, terms }: DenseStep, size: number): (part: number) => Float64Array {
  const scratch = stepScratch(size);
  const y0 = Float64Array.from(terms.slice(0, size));
  rhs(t0, y0, scratch.k[0]);
  return (part) => {
    step(rhs, t0, y0, part, scratch);
    return scratch.k[6];
  };
}

/** dy/dt on the dense output: an implicit step is too long to be taken again explicitly. */
function slopeOnDense(rhs: Rhs, dense: DenseStep, size: number): (part: number) => Float64Array {
  const slope = new Float64Array(size);
  return (part) => {
    rhs(dense.t0 + part, denseAt(dense, dense.t0 + part), slope);
    return slope;
  };
}

/** Writes dy/dt at both ends of a step, out of its dense output. */
function endSlopes({ h, terms }: DenseStep, before: Float64Array, after: Float64Array): void {
  const n = before.length;
  for (let i = 0; i < n; i++) {
    const rise = terms[n + i];
    const bend = terms[2 * n + i];
    before[i] = (rise + bend) / h;
    after[i] = (rise - bend - terms[3 * n + i]) / h;
  }
}
