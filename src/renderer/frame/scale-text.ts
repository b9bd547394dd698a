import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import type { Scale } from "../../shared/session/schema.ts";

/** What stands beside the rod on the picture: its length, or that it has none yet. */
export function scaleText(scale: Scale | null, units: UnitSet): string {
  return scale === null ? "length?" : showMeasured(scale.rodM, "m", units).text;
}
