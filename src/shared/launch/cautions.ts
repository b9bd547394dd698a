import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";

/** Who decides: every caution ends with this. Loftmark states facts and never says that something may be done. */
export const DEFERENCE =
  "The pipe or vessel maker's rating, local codes, the club's range rules and licensed practice decide.";

export interface PressureFacts {
  readonly gaugePressurePa: Measured | null;
  /** J, null when it cannot be computed. */
  readonly storedEnergyJ: Measured | null;
  readonly tankMaterial: "metal" | "plastic-pipe" | "unknown";
  /** Pa gauge, the maker's rating; null when unknown. */
  readonly tankRatingPa: number | null;
}

/** Cautions that belong to a tank of compressed air: its energy, plastic pipe, and its pressure against the rating. */
export function pressureCautions(facts: PressureFacts, units: UnitSet): readonly Notice[] {
  const { gaugePressurePa: gauge, storedEnergyJ: energy, tankMaterial, tankRatingPa: rating } = facts;
  const notices: Notice[] = [];
  if (tankMaterial === "plastic-pipe") notices.push(PLASTIC_PIPE);
  if (tankMaterial === "unknown") {
    notices.push(
      caution(
        "tank-material-unknown",
        "It is not stated what the tank is made of. Plastic pipe filled with compressed gas can burst into shards.",
        "State the material.",
      ),
    );
  }
  if (rating === null) {
    notices.push(
      caution(
        "tank-rating-unknown",
        "The maker's rating of the weakest pressure part is not stated, so the pressure cannot be held against it.",
        "Read the rating off every pressure part and enter the lowest.",
      ),
    );
  } else if (gauge && gauge.value > rating) {
    notices.push({
      level: "danger",
      code: "over-rating",
      cause: `The tank is filled to ${showMeasured(gauge, "Pa", units).text} gauge, above the rating of ${showExact(rating, "Pa", units)} entered for it.`,
      remedy: `Do not fill it to this pressure. ${DEFERENCE}`,
    });
  } else if (gauge && gauge.value + 2 * gauge.u > rating) {
    notices.push({
      level: "warning",
      code: "near-rating",
      cause: `The gauge reads ${showMeasured(gauge, "Pa", units).text}; within twice its uncertainty it may be above the rating entered for the tank.`,
      remedy: `Lower the pressure or use a better gauge. ${DEFERENCE}`,
    });
  }
  if (energy && energy.value > 0) {
    notices.push(
      caution(
        "stored-pressure",
        `The filled tank holds ${showMeasured(energy, "J", units).text} of compressed gas, let out at once if a part fails.`,
        "Fit a relief valve, fill from behind cover, vent before coming near, and wear eye and ear protection.",
      ),
    );
  }
  return notices;
}

/** Cautions of every shot from a ram: the end stop (what breaks first is common practice, no source), and the people down range. */
export const RAM_CAUTIONS: readonly Notice[] = [
  caution(
    "end-stop",
    "At the end of the stroke the end stop takes the moving parts at full speed; joints at the stop are what breaks first in practice, and a stop that breaks lets piston and rod fly.",
    "Check stop, rod and fixings before each shot and keep out of line with the cylinder.",
  ),
  caution(
    "people-down-range",
    "The airframe leaves faster than a person can step aside, and a release below stall speed or with pitch rate can turn it anywhere.",
    "Keep the ground ahead and to the sides clear, and call each shot before arming it.",
  ),
];

/** Who decides about motor and propeller. */
export const PROPELLER_DEFERENCE =
  "The motor's and propeller's makers, local codes, the club's range rules and licensed practice decide.";

/** Caution for an airframe that carries an electric motor. */
export const PROPELLER_CAUTION: Notice = {
  level: "note",
  code: "propeller",
  cause:
    "With the battery connected a motor can start at any time, and the push of a launch can move switches and sticks.",
  remedy: `Connect the battery only on the launcher, and stay behind and out of the disc of the propeller. ${PROPELLER_DEFERENCE}`,
};

const PLASTIC_PIPE: Notice = {
  level: "danger",
  code: "plastic-pipe",
  cause:
    "The tank is stated to be plastic pipe. Plastic pipe such as PVC, CPVC or ABS is rated for liquids; compressed gas can burst it without warning and throw shards.",
  remedy: `Use a metal air receiver with a stated rating and a relief valve instead. ${DEFERENCE}`,
};

function caution(code: string, cause: string, remedy: string): Notice {
  return { level: "note", code, cause, remedy: `${remedy} ${DEFERENCE}` };
}
