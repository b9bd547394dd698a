import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Airframe, ElasticLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { firstOf, LAUNCHER, oneOfEach } from "../../support/one-of-each.ts";
import { RUBBER_TABLES } from "../launch/elastic/rubber-tables.ts";

/** A made-up launch from two rubber lines, each input known exactly unless said otherwise. */
export const exactly = (value: number): Measured => ({ value, u: 0 });

export const LINE: ElasticLauncher = {
  kind: "elastic-line",
  name: "Thistle bungee",
  angleRad: exactly((12 * Math.PI) / 180),
  drawM: exactly(5.5),
  loading: [...RUBBER_TABLES.loading],
  unloading: [...RUBBER_TABLES.unloading],
  forceScale: exactly(1),
  lines: 2,
  lineMassKg: exactly(0.12),
  carriageKg: exactly(0.15),
  slidingN: exactly(4),
};

export function elasticSession(
  launcher: Partial<ElasticLauncher> = {},
  airframe: Partial<Airframe> = {},
): Session {
  const fresh = freshSession("bench");
  return oneOfEach({
    ...fresh,
    airframe: { ...firstOf(fresh).airframe, massKg: exactly(0.662), ...airframe },
    launcher: { ...LINE, ...launcher },
  });
}

export function calmShot(conditions: Partial<Shot["conditions"]> = {}, more: Partial<Shot> = {}): Shot {
  const fresh = freshShot("shot-1", "first", null);
  return {
    ...fresh,
    launcherId: LAUNCHER,
    conditions: {
      gaugePressurePa: null,
      temperatureK: exactly(288.15),
      airPressurePa: exactly(101325),
      headwindMPerS: exactly(0),
      ...conditions,
    },
    ...more,
  };
}
