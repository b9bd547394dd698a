import { showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured } from "../../quantity/measured.ts";
import { ELASTIC_DEFERENCE } from "../../results/notices/deference.ts";
import { PULL_NOTICES, SHOT_CAUTIONS } from "../../results/notices/launch-notices.ts";
import type { LaunchNotice } from "../cautions.ts";

/**
 * Cautions of every shot from an elastic line: what it holds, what it does when it breaks or slips its
 * anchor, the catch, and the people down range.
 * @param energyJ J, energy the line gives back; null when it cannot be computed
 * @param hasCarriage whether something moves with the airframe and stays on the launcher
 */
export function elasticCautions(
  energyJ: Measured | null,
  hasCarriage: boolean,
  units: UnitSet,
): readonly LaunchNotice[] {
  const holds =
    energyJ !== null && energyJ.value > 0
      ? ` Drawn out, it holds ${showMeasured(energyJ, "J", units).text}.`
      : "";
  return [
    PULL_NOTICES["elastic-whip"](holds),
    PULL_NOTICES["elastic-hold"](),
    ...(hasCarriage ? [PULL_NOTICES["elastic-carriage"]()] : []),
    SHOT_CAUTIONS["people-down-range"](ELASTIC_DEFERENCE),
  ];
}
