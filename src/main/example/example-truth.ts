import type { Unit } from "../../shared/quantity/measured.ts";
import { pushInterval } from "../../shared/quantity/push-interval.ts";
import type { QuantityName } from "../../shared/results/shot-result.ts";
import { exampleMotion } from "./example-motion.ts";
import { TRUE_RAM } from "./example-scene.ts";

export const EXAMPLE_SHOT_ID = "shot-1";

export interface TrueQuantity {
  readonly value: number;
  readonly unit: Unit;
  readonly how: string;
}

/**
 * The document `truth.json`: the numbers the example's clip was drawn from, under the names
 * of results. SI, radians.
 */
export interface ExampleTruth {
  readonly shots: readonly {
    readonly id: string;
    readonly quantities: Readonly<Partial<Record<QuantityName, TrueQuantity>>>;
  }[];
}

/**
 * What truly happened in the example launch, from the motion the clip is drawn from;
 * nothing here is measured.
 */
export function exampleTruth(): ExampleTruth {
  const { ram, releaseS, pose, pitchRate } = exampleMotion();
  const push = pushInterval((timeS) => ram.at(timeS).speedMPerS, ram.startS, ram.exitS);
  return {
    shots: [
      {
        id: EXAMPLE_SHOT_ID,
        quantities: {
          releaseTime: {
            value: releaseS,
            unit: "s",
            how: "the end of the stroke, from the middle of the exposure of frame 0",
          },
          releaseSpeed: {
            value: ram.exitSpeedMPerS,
            unit: "m/s",
            how: "speed of the centre of gravity at the end of the stroke",
          },
          peakAcceleration: {
            value: ram.peakAccelerationMPerS2,
            unit: "m/s²",
            how: "greatest acceleration of the centre of gravity along its path during the push",
          },
          pitchRateAtRelease: {
            value: pitchRate(releaseS),
            unit: "rad/s",
            how: "moment of the contact force about the centre of gravity over the pitch inertia, summed over the push; nose up positive",
          },
          launchAngle: {
            value: TRUE_RAM.angleRad,
            unit: "rad",
            how: "direction of the velocity of the centre of gravity at release above the horizontal",
          },
          pitchAtRelease: {
            value: pose(releaseS).pitch,
            unit: "rad",
            how: "angle of the line from the tail to the nose target above the horizontal",
          },
          meanPushAcceleration: {
            value: push.meanMPerS2,
            unit: "m/s²",
            how: "speed gained over the time it took, from 2 to 98 % of the release speed",
          },
          pushTime: { value: push.pushS, unit: "s", how: "from 2 to 98 % of the release speed" },
          stroke: {
            value: TRUE_RAM.strokeM,
            unit: "m",
            how: "travel of the centre of gravity from rest to release",
          },
        },
      },
    ],
  };
}
