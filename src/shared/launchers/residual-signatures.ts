import type { StatedModel } from "../compare/cause-fit.ts";
import type { ResidualCause } from "../compare/read-residual.ts";

/**
 * The model at its stated inputs and at every uncertain input moved by its u, and what it does
 * when a cause is at play.
 */
export interface ResidualSignatures {
  readonly stated: StatedModel;
  readonly causes: readonly ResidualCause[];
}
