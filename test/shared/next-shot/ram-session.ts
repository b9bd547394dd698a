import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Airframe, RamLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { firstOf, LAUNCHER, oneOfEach } from "../../support/one-of-each.ts";
import { RAM_CASES } from "../launch/ram/ram-cases.ts";

const CASE = RAM_CASES.baseline;
const exactly = (value: number): Measured => ({ value, u: 0 });
const within = (value: number, relative: number): Measured => ({ value, u: relative * value });

/**
 * The published baseline launch as a session, 1.2 kg of airframe on 0.4 kg of ram; doubt of
 * a few inputs, or of none.
 */
export function ramSession(
  launcher: Partial<RamLauncher> = {},
  airframe: Partial<Airframe> = {},
  doubt: 0 | 1 = 0,
): Session {
  const fresh = freshSession("bench");
  return oneOfEach({
    ...fresh,
    airframe: { ...firstOf(fresh).airframe, massKg: within(1.2, 0.002 * doubt), ...airframe },
    launcher: {
      kind: "compressed-air-ram",
      name: "Bench ram",
      tankVolumeM3: exactly(CASE.tankVolumeM3),
      tankMaterial: "metal",
      tankRatingPa: 10e5,
      boreM: exactly(CASE.boreM),
      strokeM: exactly(CASE.strokeM),
      deadVolumeM3: exactly(CASE.deadVolumeM3),
      valve: {
        conductance: within(CASE.valve.conductance, 0.05 * doubt),
        criticalRatio: exactly(CASE.valve.criticalRatio),
      },
      openingS: exactly(CASE.openingS),
      movingMassKg: exactly(0.4),
      angleRad: exactly(CASE.angleRad),
      breakawayN: exactly(CASE.breakawayN),
      slidingN: within(CASE.slidingN, 0.2 * doubt),
      viscousNsPerM: exactly(CASE.viscousNsPerM),
      rodChamber: null,
      gas: "adiabatic",
      ...launcher,
    },
  });
}

/** A shot of it in still standard air. */
export function ramShot(gaugePressurePa: Measured | null, id = "shot-1"): Shot {
  return {
    ...freshShot(id, id, null),
    launcherId: LAUNCHER,
    conditions: {
      gaugePressurePa,
      temperatureK: exactly(293.15),
      airPressurePa: exactly(101325),
      headwindMPerS: exactly(0),
    },
  };
}

export const WING = { wingAreaM2: exactly(0.25), liftCoefficientMax: exactly(1.1) };
