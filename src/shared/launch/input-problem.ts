/** An input that a launch model cannot take. */
export interface InputProblem {
  /**
   * Its path within the launcher, airframe or conditions, dotted: "moreValves.0.delayS"; or a name that the
   * model works out of several.
   */
  readonly field: string;
  /** SI; NaN where it is missing. */
  readonly value: number;
  /** What would do: "above 0". */
  readonly need: string;
}
