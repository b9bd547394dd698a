/** Writes dy/dt at (t, y) into `out`. */
export type Rhs = (t: number, y: Float64Array, out: Float64Array) => void;

/** One accepted step as a polynomial of degree 4 in θ = (t − t0)/h; `terms` is [5 × n], term by term. */
export interface DenseStep {
  readonly t0: number;
  readonly h: number;
  readonly terms: readonly number[];
  /** Taken by the implicit method: an explicit step of this size may be unstable. */
  readonly implicit: boolean;
}

/** What a method needs to know of a system of equations. */
export interface OdeSystem {
  readonly rhs: Rhs;
  readonly relTol: number;
  /** [n], in the unit of each component. */
  readonly absTol: readonly number[];
}

/**
 * One way of stepping through a system. It keeps scratch of its own; `end` and `dense`
 * speak of the last attempt.
 */
export interface Stepper {
  /**
   * Tries a step of size h from (t, y). @returns the estimated error over the tolerance: at most 1 is good,
   * not finite when the step could not be taken at all
   */
  attempt(t: number, y: Float64Array, h: number): number;
  readonly end: Float64Array;
  /** dy/dt at the end of the last attempt. */
  readonly endSlope: Float64Array;
  dense(): DenseStep;
  /** Order of the error estimate in h, less one: a step changes with error^(−1/(order + 1)). */
  readonly errorOrder: number;
}
