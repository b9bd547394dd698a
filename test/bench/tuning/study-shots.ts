import type { PushTrack } from "../../../src/shared/measure/push-track.ts";
import type { Chance } from "../../../src/shared/quantity/chance.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { RamLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { type RealPush, type RealRam, realPush } from "../../reference/real-ram.ts";
import { INVENTED_RAM } from "../../shared/tune/made-shots.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

/** How the shots of a study differ from what the launch model says. */
export type StudyForm = "physics" | "leak" | "scatter" | "matched";
export const STUDY_FORMS: readonly StudyForm[] = ["physics", "leak", "scatter", "matched"];

const { airPressurePa, temperatureK, airframeMassKg: AIRFRAME_KG, ...RAM } = INVENTED_RAM;

/** The ram of the made shots, as its builder states it. */
export const STATED_RAM: RamLauncher = {
  kind: "compressed-air-ram",
  name: "Hazel ram",
  tankMaterial: "metal",
  tankRatingPa: 1e6,
  ...RAM,
  hold: "latch",
};
const AIR = { temperatureK, airPressurePa };

export const TUNED_ON: readonly number[] = [2.5e5, 2.5e5, 3.5e5, 3.5e5, 4.5e5, 4.5e5];
/** Between the tested pressures, and beyond them. */
export const HELD_OUT: readonly number[] = [3e5, 4e5, 5.5e5];
export const ASKED: readonly string[] = ["valve.conductance", "slidingN", "openingS"];

const GAUGE_U_PA = 3e3;
const TRACK_U_M = 4e-4;
const ROD_U = 5e-4; // relative
const RATE_U = 5e-4; // relative
const PICKS_U = 3e-4; // relative, of each shot's own picks
const RATE_HZ = 480;
const FLIGHT_S = 0.04;

export interface Study {
  readonly session: Session;
  readonly tracks: ReadonlyMap<string, PushTrack>;
  /** The true value of each input of the launcher, by path. */
  readonly truth: ReadonlyMap<string, number>;
  /** m/s, true release speed of each shot, by id. */
  readonly speeds: ReadonlyMap<string, number>;
}

/**
 * Shots of one ram whose true inputs are drawn from what its builder states, and whose physics may be other
 * than the model's: six to tune on, then one for each held-out pressure. Every shot is seen as marks see it.
 */
export function studyShots(chance: Chance, form: StudyForm): Study {
  const drawn = ({ value, u }: Measured, free = true) =>
    free ? value * Math.exp((chance.normal() * u) / value) : value + u * chance.normal();
  const s = STATED_RAM;
  const truth = new Map<string, number>([
    ["tankVolumeM3", drawn(s.tankVolumeM3)],
    ["boreM", drawn(s.boreM)],
    ["strokeM", drawn(s.strokeM)],
    ["deadVolumeM3", drawn(s.deadVolumeM3)],
    ["valve.conductance", drawn(s.valve.conductance)],
    ["valve.criticalRatio", drawn(s.valve.criticalRatio)],
    ["openingS", drawn(s.openingS)],
    ["movingMassKg", drawn(s.movingMassKg)],
    ["angleRad", drawn(s.angleRad)],
    ["breakawayN", drawn(s.breakawayN)],
    ["slidingN", drawn(s.slidingN)],
    ["viscousNsPerM", drawn(s.viscousNsPerM)],
    ["airframeMassKg", drawn(AIRFRAME_KG)],
  ]);
  const true_ = (path: string) => truth.get(path)!;
  const leakShare = form === "leak" ? 0.12 : 0;
  truth.set("leak", leakShare * true_("valve.conductance"));
  const air = { temperatureK: drawn(AIR.temperatureK), airPressurePa: drawn(AIR.airPressurePa) };
  const errors = { rod: ROD_U * chance.normal(), rate: RATE_U * chance.normal() };
  const tracks = new Map<string, PushTrack>();
  const speeds = new Map<string, number>();
  const shots = [...TUNED_ON, ...HELD_OUT].map((gaugePa, i): Shot => {
    const id = `shot-${i + 1}`;
    const own = form === "scatter" ? 1 : 0;
    const ram: RealRam = {
      ...air,
      tankVolumeM3: true_("tankVolumeM3"),
      gaugePressurePa: gaugePa,
      boreM: true_("boreM"),
      strokeM: true_("strokeM"),
      deadVolumeM3: true_("deadVolumeM3"),
      conductance: true_("valve.conductance") * Math.exp(0.05 * own * chance.normal()),
      criticalRatio: Math.min(0.9, true_("valve.criticalRatio")),
      openingS: true_("openingS") * Math.exp(0.1 * own * chance.normal()),
      totalMassKg: true_("movingMassKg") + true_("airframeMassKg"),
      angleRad: true_("angleRad"),
      breakawayN: true_("breakawayN"),
      slidingN: true_("slidingN") * Math.exp(0.3 * own * chance.normal()),
      viscousNsPerM: true_("viscousNsPerM"),
      leakShare,
      filmWPerM2K: form === "physics" ? 100 : 0,
      smoothOpening: form === "physics",
      stribeckMPerS: form === "physics" ? 0.3 : 0,
      dragAreaM2: form === "physics" ? 0.012 : 0,
    };
    const push = realPush(ram);
    speeds.set(id, push.exitSpeedMPerS);
    tracks.set(id, seenTrack(chance, id, push, ram, errors));
    return {
      ...freshShot(id, `Shot ${i + 1}`, null),
      conditions: {
        ...freshShot(id, "", null).conditions,
        ...AIR,
        gaugePressurePa: { value: gaugePa + GAUGE_U_PA * chance.normal(), u: GAUGE_U_PA },
      },
    };
  });
  const fresh = freshSession("Study");
  const session: Session = oneOfEach({
    ...fresh,
    airframe: { ...firstOf(fresh).airframe, massKg: AIRFRAME_KG },
    launcher: STATED_RAM,
    shots,
  });
  return { session, tracks, truth, speeds };
}

function seenTrack(
  chance: Chance,
  shotId: string,
  push: RealPush,
  ram: RealRam,
  errors: { readonly rod: number; readonly rate: number },
): PushTrack {
  const opensS = 0.03 + 0.002 * chance.uniform();
  const frames = Math.floor((opensS + push.exitS + FLIGHT_S) * RATE_HZ);
  const slowing = 9.80665 * Math.sin(ram.angleRad) + 2;
  const picks = PICKS_U * chance.normal();
  const points = Array.from({ length: frames }, (_, frame) => {
    const timeS = frame / RATE_HZ;
    const flown = timeS - opensS - push.exitS;
    const state =
      flown > 0
        ? {
            travelM: ram.strokeM + push.exitSpeedMPerS * flown - (slowing * flown * flown) / 2,
            speedMPerS: push.exitSpeedMPerS - slowing * flown,
          }
        : push.at(timeS - opensS);
    return {
      // A rod longer than stated makes travel read short; a rate higher than stated makes times read long.
      timeS: timeS * (1 + errors.rate),
      travelM: state.travelM / ((1 + errors.rod) * (1 + picks)) + TRACK_U_M * chance.normal(),
      u: TRACK_U_M,
      speedMPerS: state.speedMPerS,
    };
  });
  const none = points.map(() => 0);
  const speed = push.exitSpeedMPerS * (1 + 1e-3 * chance.normal());
  return {
    shotId,
    points,
    common: [
      { key: "rod", source: "scale", travelM: points.map((one) => ROD_U * one.travelM), timeS: none },
      { key: "rate", source: "clock", travelM: none, timeS: points.map((one) => -RATE_U * one.timeS) },
      {
        key: `picks ${shotId}`,
        source: "scale",
        travelM: points.map((one) => PICKS_U * one.travelM),
        timeS: none,
      },
    ],
    directionRad: ram.angleRad,
    startS: opensS,
    releaseS: opensS + push.exitS + 5e-4 * chance.normal(),
    measurement: {
      quantities: { releaseSpeed: { value: speed, u: 1e-3 * speed, unit: "m/s", how: "" } },
      budget: { releaseSpeed: [{ source: "marks", u: 1e-3 * speed }] },
    } as unknown as Measurement,
  };
}
