import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import { DEFERENCE, RAM_CAUTIONS } from "./cautions.ts";

/** Who decides, for a line under tension. */
const ELASTIC_DEFERENCE =
  "The line maker's rating, local codes, the club's range rules and licensed practice decide.";

/**
 * Cautions of every shot from an elastic line: what it holds, what it does when it breaks or slips its anchor, the catch, and the people
 * down range.
 * @param energyJ J, energy the line gives back; null when it cannot be computed
 */
export function elasticCautions(energyJ: Measured | null, units: UnitSet): readonly Notice[] {
  const holds =
    energyJ !== null && energyJ.value > 0
      ? ` Drawn out, it holds ${showMeasured(energyJ, "J", units).text}.`
      : "";
  return [
    caution(
      "elastic-whip",
      `A line that breaks or slips its anchor whips back along itself and takes hooks and pegs with it.${holds}`,
      "Wear eye protection, keep everyone out of line with it at both ends, and look over line, knots and anchor before each draw.",
    ),
    caution(
      "elastic-hold",
      "Between draw and shot only the catch holds the pull; a catch that slips lets the airframe go where it points.",
      "Point it down the range before drawing, and keep hands and face out of the path.",
    ),
    ...RAM_CAUTIONS.filter(({ code }) => code === "people-down-range").map((people) => ({
      ...people,
      remedy: people.remedy.replace(DEFERENCE, ELASTIC_DEFERENCE),
    })),
  ];
}

function caution(code: string, cause: string, remedy: string): Notice {
  return { level: "note", code, cause, remedy: `${remedy} ${ELASTIC_DEFERENCE}` };
}
