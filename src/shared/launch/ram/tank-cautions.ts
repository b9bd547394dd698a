import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured } from "../../quantity/measured.ts";
import { DEFERENCE } from "../../results/notices/deference.ts";
import { RATING_NOTICES, SHOT_CAUTIONS, TANK_NOTICES } from "../../results/notices/launch-notices.ts";
import type { LaunchNotice } from "../cautions.ts";
import { ratingLeft, type StatedRating } from "./tank-rating.ts";

export interface PressureFacts extends StatedRating {
  readonly gaugePressurePa: Measured | null;
  /** J, null when it cannot be computed. */
  readonly storedEnergyJ: Measured | null;
  readonly tankMaterial: "metal" | "plastic-pipe" | "unknown";
  /** Pa gauge, at which the relief valve opens; null when there is none. */
  readonly reliefPa?: number | null | undefined;
  /** Pa gauge, of what feeds the tank during the shot. */
  readonly supplyGaugePa?: Measured | undefined;
}

/**
 * Cautions that belong to a tank of compressed air: its energy, plastic pipe, and its
 * pressure against the rating.
 */
export function pressureCautions(facts: PressureFacts, units: UnitSet): readonly LaunchNotice[] {
  const { storedEnergyJ: energy, tankMaterial } = facts;
  return [
    ...(tankMaterial === "plastic-pipe" ? [TANK_NOTICES["plastic-pipe"]()] : []),
    ...(tankMaterial === "unknown" ? [TANK_NOTICES["tank-material-unknown"]()] : []),
    ...ratingCautions(facts, units),
    ...supplyCautions(facts, units),
    ...reliefCautions(facts, units),
    ...(energy && energy.value > 0
      ? [TANK_NOTICES["stored-pressure"](showMeasured(energy, "J", units).text)]
      : []),
  ];
}

function ratingCautions(
  { gaugePressurePa: gauge, ...stated }: PressureFacts,
  units: UnitSet,
): readonly LaunchNotice[] {
  const rating = ratingLeft(stated);
  if (rating === null) return [RATING_NOTICES["tank-rating-unknown"]()];
  if (gauge === null) return [];
  const shown = showMeasured(gauge, "Pa", units).text;
  if (gauge.value > rating) return [RATING_NOTICES["over-rating"](shown, showExact(rating, "Pa", units))];
  return gauge.value + 2 * gauge.u > rating ? [RATING_NOTICES["near-rating"](shown)] : [];
}

/** A supply that would fill the tank above its rating, in the time between two shots if not in one. */
function supplyCautions(
  { supplyGaugePa: supply, ...stated }: PressureFacts,
  units: UnitSet,
): readonly LaunchNotice[] {
  const rating = ratingLeft(stated);
  if (rating === null || supply === undefined || !(supply.value + 2 * supply.u > rating)) return [];
  const shown = showMeasured(supply, "Pa", units).text;
  return [RATING_NOTICES["supply-over-rating"](shown, showExact(rating, "Pa", units))];
}

/** The tank's pressure against the relief valve, which should have let it out. */
function reliefCautions(
  { gaugePressurePa: gauge, reliefPa }: PressureFacts,
  units: UnitSet,
): readonly LaunchNotice[] {
  if (gauge === null || reliefPa == null) return [];
  const shown = showMeasured(gauge, "Pa", units).text;
  const opens = showExact(reliefPa, "Pa", units);
  if (gauge.value > reliefPa) return [RATING_NOTICES["over-relief"](shown, opens)];
  return gauge.value + 2 * gauge.u > reliefPa ? [RATING_NOTICES["near-relief"](shown, opens)] : [];
}

/** Cautions of every shot from a ram: the end stop and the people down range. */
export const RAM_CAUTIONS: readonly LaunchNotice[] = [
  SHOT_CAUTIONS["end-stop"](),
  SHOT_CAUTIONS["people-down-range"](DEFERENCE),
];
