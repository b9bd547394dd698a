import type { RamInputs } from "./ram-inputs.ts";

export type ValvePhase = "shut" | "opening" | "open";

/** One of the drive valves with its own opening. */
export interface RamValve {
  readonly conductance: number;
  readonly criticalRatio: number;
  /** Where it stands from t on, until `changesAfter(t)`. */
  phaseFrom(t: number): ValvePhase;
  /** s, when it next starts or ends to open after t; Infinity when it does neither. */
  changesAfter(t: number): number;
  /** 1, open part of its area at t: a smooth function of t within one phase. */
  share(phase: ValvePhase, t: number): number;
}

/**
 * The first valve and those side by side with it; all delays count from t = 0, the first's own
 * is added to the others'.
 */
export function ramValves(inputs: RamInputs): readonly RamValve[] {
  const { valve, openingS, delayS = 0, moreValves = [] } = inputs;
  return [
    { valve, openingS, delayS },
    ...moreValves.map((more) => ({ ...more, delayS: delayS + more.delayS })),
  ].map(({ valve: { conductance, criticalRatio }, openingS: opensIn, delayS: from }) => {
    const to = from + opensIn;
    return {
      conductance,
      criticalRatio,
      phaseFrom: (t) => (t < from ? "shut" : t < to ? "opening" : "open"),
      changesAfter: (t) => (t < from ? from : t < to ? to : Infinity),
      share: (phase, t) =>
        phase === "open" ? 1 : phase === "shut" ? 0 : Math.min(1, Math.max(0, (t - from) / opensIn)),
    };
  });
}
