import type { Measured } from "../quantity/measured.ts";
import type { BaseLoad } from "../results/shot-result.ts";

/** How a load stands to a rating: near it where twice its uncertainty may pass it. */
export function standingOf(load: Measured, rated: number): BaseLoad["standing"] {
  if (load.value > rated) return "above";
  return load.value + 2 * load.u > rated ? "near" : "within";
}
