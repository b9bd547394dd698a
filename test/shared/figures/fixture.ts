import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import { MOTION_NOTICES } from "../../../src/shared/results/notices/motion-notices.ts";
import type { BudgetLine, Curve, PoseDot, ShotResult } from "../../../src/shared/results/shot-result.ts";

/**
 * An invented shot with the shape of a real one: a push of 92 ms whose acceleration rises within a few ms
 * and falls as the tank empties, then free flight against drag and weight; curves by summing that
 * acceleration. The prediction is the same push, 6 % stronger and 2 ms later. Only for looking at and
 * counting; nothing is checked against it.
 */
export function invented(shotId = "shot-3"): ShotResult {
  const chance = createChance(20);
  const rateHz = 960;
  const timeS = Array.from({ length: 146 }, (_, i) => -0.0917 + i / rateHz);
  const measured = integrate(timeS, (t) => push(t + 0.0917, 0.0917, 243));
  const predictedTimeS = timeS.filter((t) => t >= -0.088);
  const predicted = integrate(predictedTimeS, (t) => push(t + 0.0897, 0.0897, 262));
  const u = (scale: number) => timeS.map((t) => scale * (1 + 2.2 * Math.exp(-(((t - 0.06) / 0.012) ** 2))));
  const curve = (value: readonly number[], scale: number): Curve => ({ value, u: u(scale) });
  const pitchRate = timeS.map((t) =>
    t < -0.03 ? 0 : t < 0 ? 0.54 * ((t + 0.03) / 0.03) ** 2 : 0.54 - 1.6 * t,
  );
  const pitch = running(timeS, pitchRate, 0.513);
  const poses: PoseDot[] = timeS.flatMap((t, i) =>
    i % 3 === 0
      ? [
          {
            frame: 40 + i,
            timeS: t,
            positionM: measured.position[i]! + 0.002 * chance.normal(),
            pitchRad: pitch[i]! + 0.0035 * chance.normal(),
          },
        ]
      : [],
  );
  const at = (values: readonly number[]) => values[88]!;
  const v = at(measured.speed);
  const vModel = predicted.speed[88 - 4]!;
  const budget = (total: number, parts: readonly number[]): BudgetLine[] =>
    (["scale", "clock", "marks", "plumb"] as const).map((source, i) => ({
      source,
      u: total * Math.sqrt(parts[i]!),
    }));
  const residualTimes = timeS.filter((t) => predictedTimeS.includes(t));
  const differenceOf = (a: readonly number[], b: readonly number[]) =>
    residualTimes.map((t) => a[predictedTimeS.indexOf(t)]! - b[timeS.indexOf(t)]!);
  return {
    shotId,
    measurement: {
      quantities: {
        releaseTime: quantity(0.1335, 0.0004, "s", "where the push acceleration ends"),
        releaseSpeed: quantity(v, 0.058, "m/s", "speed of the centre of gravity at release, from both fits"),
        peakAcceleration: quantity(243, 9, "m/s²", "greatest acceleration along the push in the fit"),
        pitchRateAtRelease: quantity(0.54, 0.052, "rad/s", "slope of the pitch at release"),
        launchAngle: quantity(0.513, 0.0035, "rad", "direction of the velocity at release"),
        pitchAtRelease: quantity(at(pitch), 0.003, "rad", "pitch of the fit at release"),
        stroke: quantity(at(measured.position), 0.004, "m", "travel from rest to release"),
        stallMargin: quantity(1.42, 0.05, "1", "release speed over stall speed"),
      },
      budget: {
        releaseSpeed: budget(0.058, [0.58, 0.21, 0.13, 0.08]),
        peakAcceleration: budget(9, [0.02, 0.03, 0.94, 0.01]),
        pitchRateAtRelease: budget(0.052, [0.001, 0.015, 0.98, 0.004]),
        launchAngle: budget(0.0035, [0.001, 0, 0.09, 0.909]),
      },
      curves: {
        timeS,
        position: curve(measured.position, 0.003),
        speed: curve(measured.speed, 0.06),
        acceleration: curve(measured.acceleration, 6),
        pitch: curve(pitch, 0.003),
        pitchRate: curve(pitchRate, 0.05),
      },
      poses,
      residuals: poses.flatMap((pose) =>
        ["nose", "tail"].map((pointId) => {
          const z = chance.normal();
          return { pointId, frame: pose.frame, dxPx: 0.3 * z, dyPx: 0.3 * chance.normal(), z };
        }),
      ),
      releaseClipS: 0.1335,
      startClipS: 0.0418,
      noiseRatio: 1.04,
      converged: true,
      scale: { value: 1.3e-3, u: 2e-6 },
      captureRateHz: { value: 960, u: 0.5 },
      clockChecks: [],
      releaseChecks: [],
      blurPx: null,
    },
    prediction: {
      quantities: {
        releaseSpeed: quantity(vModel, 0.31, "m/s", "speed of the ram at the end of the stroke"),
        peakAcceleration: quantity(262, 12, "m/s²", "greatest acceleration of the ram"),
      },
      curves: {
        timeS: predictedTimeS,
        position: predicted.position,
        speed: predicted.speed,
        acceleration: predicted.acceleration,
      },
      storedEnergyJ: { value: 1120, u: 40 },
    },
    comparison: {
      differences: [
        {
          name: "releaseSpeed",
          difference: { value: vModel - v, u: 0.32 },
          relative: { value: (vModel - v) / v, u: 0.32 / v },
          inU: (vModel - v) / 0.32,
        },
        {
          name: "peakAcceleration",
          difference: { value: 19, u: 15 },
          relative: { value: 19 / 243, u: 15 / 243 },
          inU: 19 / 15,
        },
      ],
      residuals: {
        timeS: residualTimes,
        position: differenceOf(predicted.position, measured.position),
        speed: differenceOf(predicted.speed, measured.speed),
        acceleration: differenceOf(predicted.acceleration, measured.acceleration),
      },
      alignment: { offsetS: 0.0402, how: "model release laid on the measured release" },
      verdict: "The model is 4.4 ± 2.1 % fast.",
      reading: null,
    },
    notices: [MOTION_NOTICES["no-rest"]()],
  };
}

/** The same shot without a model. */
export function inventedWithoutPrediction(): ShotResult {
  return { ...invented("shot-1"), prediction: null, comparison: null };
}

function quantity(value: number, u: number, unit: Unit, how: string): Quantity {
  return { value, u, unit, how };
}

function push(sinceStartS: number, pushS: number, peak: number): number {
  if (sinceStartS < 0) return 0;
  if (sinceStartS > pushS) return -6.3;
  return 1.17 * peak * (1 - Math.exp(-sinceStartS / 0.0045)) * (1 - sinceStartS / (1.32 * pushS));
}

function integrate(timeS: readonly number[], acceleration: (t: number) => number) {
  const a = timeS.map(acceleration);
  const speed = running(timeS, a, 0);
  return { acceleration: a, speed, position: running(timeS, speed, 0) };
}

/** Running trapezoidal sum from a first value. */
function running(timeS: readonly number[], rate: readonly number[], first: number): number[] {
  const sums = [first];
  for (let i = 1; i < timeS.length; i++) {
    sums.push(sums[i - 1]! + ((rate[i]! + rate[i - 1]!) / 2) * (timeS[i]! - timeS[i - 1]!));
  }
  return sums;
}
