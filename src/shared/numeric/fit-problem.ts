/**
 * A least-squares problem: residuals already divided by their standard uncertainties, so
 * that each has unit variance.
 */
export interface FitProblem {
  /** Number of residuals, m >= number of parameters. */
  readonly count: number;
  /** [n], where to start. */
  readonly start: ArrayLike<number>;
  /**
   * Writes r(p) into out [m]. A value that is not finite marks a place where the model cannot go;
   * the step is then shortened.
   */
  residuals(p: Float64Array, out: Float64Array): void;
  /** Writes dr/dp into out [m*n], row by row (zeroed beforehand); left out, central differences are taken. */
  jacobian?(p: Float64Array, out: Float64Array): void;
  /**
   * [n], a typical size of each parameter, > 0: sets the steps of the differences and
   * when a step counts as small.
   */
  readonly typical: ArrayLike<number>;
  /**
   * Reduction of the sum of squares, in units of the residuals' variance where that is above 1, below which a
   * further step is not worth taking; as good as the rounding allows unless told.
   */
  readonly enough?: number;
  /**
   * Damping of the first step, of unit column norms; 1e-3 unless told. Less where the
   * start is known to be good.
   */
  readonly firstDamping?: number;
  /** Most steps tried; 200 unless told. */
  readonly mostSteps?: number;
  /**
   * How often a step is corrected, with the Jacobian that it was found by, by the residuals where it led; 0
   * unless told: it is then bent, by one evaluation. For a Jacobian that costs many times what residuals do.
   */
  readonly corrections?: number;
  /**
   * Whether the fit ends at a place that a step has led to, which is told before its Jacobian is taken:
   * nothing is then known of how far it could still go, nor of the covariance there.
   */
  leaves?(p: Float64Array, sumOfSquares: number, steps: number): boolean;
}
