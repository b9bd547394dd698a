import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import {
  type MeasuredRam,
  ramInputsOf,
  uncertainInputs,
} from "../../../src/shared/launch/ram/ram-measured.ts";
import { ramTunable } from "../../../src/shared/launchers/ram/ram-tunable.ts";
import type { PushTrack } from "../../../src/shared/measure/push-track.ts";
import type { Chance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import type { ShotToTune } from "../../../src/shared/tune/tuned-shot.ts";

/** An invented ram as its builder states it, with the air it is shot in and what it throws. */
export const INVENTED_RAM = {
  tankVolumeM3: { value: 3.1e-3, u: 4e-5 },
  airPressurePa: { value: 100_600, u: 200 },
  temperatureK: { value: 289, u: 1 },
  boreM: { value: 0.038, u: 5e-5 },
  strokeM: { value: 0.72, u: 0.001 },
  deadVolumeM3: { value: 1.1e-4, u: 1.2e-5 },
  valve: { conductance: { value: 1.4e-7, u: 3e-8 }, criticalRatio: { value: 0.3, u: 0.05 } },
  openingS: { value: 0.03, u: 0.012 },
  movingMassKg: { value: 0.55, u: 0.003 },
  airframeMassKg: { value: 0.7, u: 0.002 },
  angleRad: { value: 0.35, u: 0.004 },
  breakawayN: { value: 25, u: 5 },
  slidingN: { value: 18, u: 6 },
  viscousNsPerM: { value: 4, u: 1.5 },
  rodChamber: null,
  gas: "adiabatic",
} satisfies Omit<MeasuredRam, "gaugePressurePa">;
export const STATED: Omit<MeasuredRam, "gaugePressurePa"> = INVENTED_RAM;

/**
 * What is known of every made shot: gauge and marks as good as a builder's, rod and capture
 * rate measured once for all.
 */
const GAUGE_U_PA = 3e3;
const TRACK_U_M = 4e-4;
const ROD_U = 5e-4; // relative
const RATE_U = 5e-4; // relative
const PICKS_U = 3e-4; // relative, of each shot's own picks

export interface MadeShots {
  readonly shots: readonly ShotToTune[];
  /** The true value of each input of the launcher, by name. */
  readonly truth: ReadonlyMap<string, number>;
  /** m/s, true release speed of each shot. */
  readonly speeds: readonly number[];
}

/**
 * Shots of one ram whose true inputs are drawn from what its builder states, each seen at `rateHz` with drawn
 * noise; scale and rate are off by one drawn error each, the same for all shots.
 */
export function madeShots(
  chance: Chance,
  pressures: readonly number[],
  options: {
    readonly rateHz?: number;
    readonly scatter?: number;
    readonly stated?: typeof STATED;
    /** Gauge, rod, picks and rate without error or uncertainty. */
    readonly exactly?: boolean;
  } = {},
): MadeShots {
  const { rateHz = 480, scatter = 0, stated = STATED, exactly = false } = options;
  const [gaugeU, rodU, rateU, picksU] = (exactly ? [0, 0, 0, 0] : [GAUGE_U_PA, ROD_U, RATE_U, PICKS_U]) as [
    number,
    number,
    number,
    number,
  ];
  const truth = new Map<string, number>();
  const rodError = rodU * chance.normal();
  const rateError = rateU * chance.normal();
  const speeds: number[] = [];
  for (const input of uncertainInputs({ ...stated, gaugePressurePa: { value: 3e5, u: 0 } })) {
    const z = chance.normal();
    const free = input.value > 0 && (input.low ?? -Infinity) >= 0;
    truth.set(
      input.name,
      free ? input.value * Math.exp((z * input.u) / input.value) : input.value + z * input.u,
    );
  }
  const shots = pressures.map((gaugePa, shot): ShotToTune => {
    const gauge = { value: gaugePa + gaugeU * chance.normal(), u: gaugeU };
    const ram: MeasuredRam = { ...stated, gaugePressurePa: gauge };
    const list = uncertainInputs(ram);
    const own = Math.exp(scatter * chance.normal());
    const inputs = ramInputsOf(
      ram,
      list.map(({ name }) =>
        name === "gaugePressurePa"
          ? gaugePa
          : name === "valve.conductance"
            ? truth.get(name)! * own
            : truth.get(name)!,
      ),
    );
    const push = unwrap(predictRam(inputs));
    speeds.push(push.exitSpeedMPerS);
    const opensS = 0.03 + 0.002 * chance.uniform();
    const endS = opensS + push.exitS + 0.04;
    const frames = Math.floor(endS * rateHz);
    const slowing = STANDARD_GRAVITY * Math.sin(inputs.angleRad) + 2;
    const seen = Array.from({ length: frames }, (_, frame) => {
      const timeS = frame / rateHz;
      const flown = Math.max(0, timeS - opensS - push.exitS);
      const { positionM, speedMPerS } = push.at(timeS - opensS);
      return {
        // A rod longer than stated makes travel read short; a rate higher than stated makes times read long.
        timeS: timeS * (1 + rateError),
        travelM:
          (positionM + speedOf(flown, push.exitSpeedMPerS, slowing)) / (1 + rodError) +
          TRACK_U_M * chance.normal(),
        u: TRACK_U_M,
        speedMPerS: flown > 0 ? push.exitSpeedMPerS - slowing * flown : speedMPerS,
      };
    });
    const speed = push.exitSpeedMPerS * (1 + 2e-3 * chance.normal());
    const track: PushTrack = {
      shotId: `shot-${shot + 1}`,
      points: seen,
      common: [
        {
          key: "rod",
          source: "scale",
          travelM: seen.map((one) => rodU * one.travelM),
          timeS: seen.map(() => 0),
        },
        {
          key: "rate",
          source: "clock",
          travelM: seen.map(() => 0),
          timeS: seen.map((one) => -rateU * one.timeS),
        },
        {
          key: `picks ${shot}`,
          source: "scale",
          travelM: seen.map((one) => picksU * one.travelM),
          timeS: seen.map(() => 0),
        },
      ],
      directionRad: inputs.angleRad,
      startS: opensS + push.startS,
      releaseS: opensS + push.exitS + 5e-4 * chance.normal(),
      measurement: {
        quantities: { releaseSpeed: { value: speed, u: 2e-3 * speed, unit: "m/s", how: "" } },
        budget: { releaseSpeed: [{ source: "marks", u: 2e-3 * speed }] },
      } as unknown as Measurement,
    };
    return { track, model: ramTunable(ram) };
  });
  return { shots, truth, speeds };
}

function speedOf(flown: number, speed: number, slowing: number): number {
  return flown > 0 ? speed * flown - (slowing * flown * flown) / 2 : 0;
}

/** The same shots with only the flight after release seen: what an exit speed alone says. */
export function speedOnly({ shots }: MadeShots): readonly ShotToTune[] {
  return shots.map(({ track, model }) => {
    const kept = [...track.points.keys()].filter((i) => track.points[i]!.timeS > track.releaseS + 0.015);
    return {
      model,
      track: {
        ...track,
        points: kept.map((i) => track.points[i]!),
        common: track.common.map((error) => ({
          ...error,
          travelM: kept.map((i) => error.travelM[i]!),
          timeS: kept.map((i) => error.timeS[i]!),
        })),
      },
    };
  });
}
