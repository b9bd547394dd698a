import { EVEN_OPENING } from "./opening-curve.ts";
import type { RamInputs } from "./ram-inputs.ts";

/**
 * Where a valve stands: 0 while it is shut, then the number of the stretch of its opening between two points,
 * from 1; at last the number of points, for open.
 */
export type ValvePhase = number;

/** One of the drive valves with its own opening. */
export interface RamValve {
  readonly conductance: number;
  readonly criticalRatio: number;
  /** Where it stands from t on, until `changesAfter(t)`. */
  phaseFrom(t: number): ValvePhase;
  /** s, when it next starts to open, passes a point of its opening or ends to open; Infinity after all. */
  changesAfter(t: number): number;
  /** 1, open part of its area at t: a smooth function of t within one phase. */
  share(phase: ValvePhase, t: number): number;
}

/**
 * The first valve, whose opening may be stated by points, and those side by side with it; all delays count
 * from t = 0, the first's own is added to the others'.
 */
export function ramValves(inputs: RamInputs): readonly RamValve[] {
  const { valve, openingS, openingCurve, delayS = 0, moreValves = [] } = inputs;
  return [
    { valve, openingS, delayS, points: openingCurve ?? EVEN_OPENING },
    ...moreValves.map((more) => ({ ...more, delayS: delayS + more.delayS, points: EVEN_OPENING })),
  ].map(({ valve: { conductance, criticalRatio }, openingS: opensIn, delayS: from, points }) => {
    const times = points.map(([part]) => from + part * opensIn);
    const areas = points.map(([, area]) => area);
    const phaseFrom = (t: number) => {
      let passed = 0;
      while (passed < times.length && times[passed] <= t) passed++;
      return passed;
    };
    return {
      conductance,
      criticalRatio,
      phaseFrom,
      changesAfter: (t) => times[phaseFrom(t)] ?? Number.POSITIVE_INFINITY,
      share: (phase, t) => {
        if (phase === 0) return 0;
        if (phase === times.length) return areas[phase - 1];
        const part = (t - times[phase - 1]) / (times[phase] - times[phase - 1]);
        return areas[phase - 1] + (areas[phase] - areas[phase - 1]) * Math.min(1, Math.max(0, part));
      },
    };
  });
}
