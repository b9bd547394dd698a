import type { RamLauncher } from "../../../shared/session/schema.ts";

/**
 * A launcher to be overwritten: round numbers of a small ram, each uncertain enough (a third, or more) that every result
 * made with it is seen to be a guess.
 */
export function freshLauncher(): RamLauncher {
  const guess = (value: number, share = 0.33) => ({ value, u: value * share });
  return {
    kind: "compressed-air-ram",
    name: "",
    tankVolumeM3: guess(0.003),
    tankMaterial: "unknown",
    tankRatingPa: null,
    boreM: guess(0.032),
    strokeM: guess(0.8),
    deadVolumeM3: guess(0.0001, 0.5),
    valve: { conductance: guess(5e-8, 0.5), criticalRatio: { value: 0.3, u: 0.1 } },
    openingS: guess(0.01, 0.5),
    movingMassKg: guess(0.3),
    angleRad: { value: Math.PI / 6, u: 0.1 },
    breakawayN: guess(10, 0.5),
    slidingN: guess(5, 0.5),
    viscousNsPerM: { value: 0, u: 1 },
    rodChamber: null,
    gas: "adiabatic",
  };
}
