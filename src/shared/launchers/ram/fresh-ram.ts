import { guess, guessesOf } from "../../inputs/launcher-rows.ts";
import { RAM_CYLINDER, RAM_FRICTION, RAM_MOVING, RAM_OPENING, RAM_TANK } from "../../inputs/ram-rows.ts";
import type { Measured } from "../../quantity/measured.ts";
import type { RamLauncher } from "../../session/schema.ts";

/**
 * A launcher to be overwritten: round numbers of a small ram, each uncertain enough (a third, or more) that
 * every result made with it is seen to be a guess.
 */
export function freshRam(): RamLauncher {
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

/** What stands for the exponent of the gas once the form asks for it. */
export const GUESSED_EXPONENT: Measured = { value: 1.3, u: 0.1 };

/** And for a chamber round the rod: wide enough to be seen to be a guess. */
export const GUESSED_ROD_CHAMBER: NonNullable<RamLauncher["rodChamber"]> = {
  rodDiameterM: { value: 0.012, u: 0.004 },
  volumeM3: { value: 5e-5, u: 2.5e-5 },
  vent: { conductance: { value: 2e-8, u: 1e-8 }, criticalRatio: { value: 0.3, u: 0.1 } },
};
