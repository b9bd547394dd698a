import { foundInputs } from "../inputs/found-inputs.ts";
import type { Launcher } from "../session/schema.ts";

const EVALUATIONS_EACH = 3e5; // for each uncertain input: a ram with all its parts takes less than half of it
const LEAST_INPUTS = 10;

/** Work that looking for a setting may take: in proportion to what there is to propagate. */
export function allowedFor(launcher: Launcher | null): number {
  const uncertain = foundInputs({ launcher }, launcher?.kind ?? null).filter(({ u }) => u !== null && u > 0);
  return EVALUATIONS_EACH * Math.max(LEAST_INPUTS, uncertain.length);
}
