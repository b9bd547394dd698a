import { predictRam } from "../../src/shared/launch/predict-ram.ts";
import { RAM_CASES } from "../shared/launch/ram-cases.ts";

/** ms of one run, and the steps it took. */
export interface RamFigures {
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly coldMs: number;
  readonly steps: number;
}

export interface RamBench {
  readonly name: string;
  readonly figures: Readonly<Record<keyof typeof RAM_CASES, RamFigures>>;
}

/** Times `predictRam` on the six published cases, over `runs` runs of each after the first. */
export function benchRam(runs = 100): RamBench {
  const entries = Object.entries(RAM_CASES).map(([name, inputs]) => {
    const timeOne = () => {
      const from = performance.now();
      const result = predictRam(inputs);
      return { ms: performance.now() - from, steps: result.ok ? result.value.steps.taken : Number.NaN };
    };
    const cold = timeOne();
    const ms = Array.from({ length: runs }, () => timeOne().ms).sort((a, b) => a - b);
    const at = (part: number) => ms[Math.min(runs - 1, Math.floor(part * runs))]!;
    return [name, { medianMs: at(0.5), p95Ms: at(0.95), coldMs: cold.ms, steps: cold.steps }] as const;
  });
  return {
    name: "compressed-air ram, six published cases",
    figures: Object.fromEntries(entries) as RamBench["figures"],
  };
}
