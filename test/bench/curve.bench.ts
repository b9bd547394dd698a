import { type CurveSample, estimateCurve } from "../../src/shared/curve/estimate-curve.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";
import { KERNEL, kernelMs } from "./kernel.ts";

const SAMPLES = 20_000;
const KERNEL_RUNS = 10;
const MOST_MS = 5000;
const CHANGES = 4; // ignition, the end of the rise, the begin of burnout, its end

/**
 * A motor on a load cell, by turns with the reference kernel: value, rate and acceleration of 20 000 samples
 * with errors that are found out, and the change points in them; and of a quarter as many.
 * @throws Error when ignition or burnout is not found: then something else was timed
 */
export function benchCurve(rounds: number): BenchPart {
  const [whole, quarter] = [motorLog(SAMPLES), motorLog(SAMPLES / 4)];
  const timed = (samples: readonly CurveSample[]) => {
    const from = performance.now();
    const { changes } = unwrap(estimateCurve(samples));
    const tookMs = performance.now() - from;
    const seen = [0.2, 0.62].every((at) => changes.some(({ time }) => Math.abs(time.value - at) < 0.001));
    if (!seen || changes.length > CHANGES) throw new Error("The change points of the log were not found.");
    return tookMs;
  };
  timed(quarter);
  const turns = Array.from({ length: rounds }, () => ({
    whole: timed(whole),
    quarter: timed(quarter),
    kernel: kernelMs(KERNEL_RUNS),
  }));
  const wholes = turns.map((turn) => turn.whole);
  return {
    title: "Estimating a curve by itself: a load cell's log, its rate, its change points",
    figures: [
      {
        what: `${SAMPLES} samples, in reference kernels`,
        value: spread(
          turns.map((turn) => turn.whole / turn.kernel),
          (value) => value.toFixed(0),
        ),
        target: null,
      },
      {
        what: `${SAMPLES} samples, this machine now`,
        value: spread(wholes, ms),
        target: { text: `under ${MOST_MS / 1000} s`, met: median(wholes) < MOST_MS },
      },
      {
        what: "over a quarter as many samples",
        value: spread(
          turns.map((turn) => turn.whole / turn.quarter),
          ratio,
        ),
        target: null,
      },
    ],
    notes: [
      `${rounds} rounds by turns; the kernel is ${KERNEL}: ${ms(median(turns.map((turn) => turn.kernel)))} here`,
    ],
  };
}

/** Nothing, a rise within a fortieth of the log, a slow fall, burnout; errors of 1 % of the peak. */
function motorLog(count: number): readonly CurveSample[] {
  const chance = createChance(1);
  const thrust = (t: number) => {
    if (t < 0.2) return 0;
    if (t < 0.25) return 20 * (1 - Math.exp(-(t - 0.2) / 0.004));
    if (t < 0.6) return 20 - 10 * (t - 0.25);
    return t < 0.62 ? 16.5 * (1 - (t - 0.6) / 0.02) : 0;
  };
  return Array.from({ length: count }, (_, i) => {
    const time = i / count;
    return { time, value: thrust(time) + 0.2 * chance.normal() };
  });
}
