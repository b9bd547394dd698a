import { guess, guessesOf } from "../../../shared/inputs/launcher-rows.ts";
import {
  RAM_CYLINDER,
  RAM_FRICTION,
  RAM_MOVING,
  RAM_OPENING,
  RAM_TANK,
} from "../../../shared/inputs/ram-rows.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";

/**
 * A launcher to be overwritten: round numbers of a small ram, each uncertain enough (a third, or more) that
 * every result made with it is seen to be a guess.
 */
export function freshLauncher(): RamLauncher {
  return {
    kind: "compressed-air-ram",
    name: "",
    ...guessesOf({ ...RAM_TANK, ...RAM_CYLINDER, ...RAM_OPENING, ...RAM_MOVING, ...RAM_FRICTION }),
    tankMaterial: "unknown",
    tankRatingPa: null,
    valve: { conductance: guess(5e-8, 0.5), criticalRatio: { value: 0.3, u: 0.1 } },
    rodChamber: null,
    gas: "adiabatic",
  };
}
