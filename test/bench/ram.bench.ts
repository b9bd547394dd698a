import { predictRam } from "../../src/shared/launch/ram/predict-ram.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";
import { percentile } from "./figures.ts";

/** Processor ms of one run (user time of this process), the steps it took, and what it found. */
export interface RamFigures {
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly steps: number;
  readonly exitSpeedMPerS: number;
}

/** Times `predictRam` on the six published cases, over `runs` runs of each once it is settled. */
export function benchRam(relTol: number, runs: number): Readonly<Record<keyof typeof RAM_CASES, RamFigures>> {
  const entries = Object.entries(RAM_CASES).map(([name, inputs]) => {
    const once = () => unwrap(predictRam(inputs, { relTol }));
    for (let i = 0; i < runs / 4; i++) once(); // until compiled
    const ms = Array.from({ length: runs }, () => {
      const from = process.cpuUsage();
      once();
      return process.cpuUsage(from).user / 1000;
    });
    const { exitSpeedMPerS, steps } = once();
    const figures = { medianMs: percentile(ms, 0.5), p95Ms: percentile(ms, 0.95), steps: steps.taken };
    return [name, { ...figures, exitSpeedMPerS }] as const;
  });
  return Object.fromEntries(entries) as Record<keyof typeof RAM_CASES, RamFigures>;
}
