import type { OdeRun } from "../../numeric/integrate.ts";
import type { ValvePhase } from "./ram-valves.ts";

/** Where the airframe was, and how fast, when the ram ceased to push it. */
export interface Parting {
  readonly timeS: number;
  readonly travelM: number;
  readonly speedMPerS: number;
}

/**
 * Which terms act: the piston moves; the airframe has parted from the ram, which moves alone; each valve is
 * shut, on a stretch of its opening, or open. Each change of phase starts a new run.
 */
export interface RamPhase {
  readonly moving: boolean;
  /** null while the airframe moves with the ram. */
  readonly parted: Parting | null;
  readonly valves: readonly ValvePhase[];
}

/** Part of a launch in one phase. */
export interface RamRun {
  readonly phase: RamPhase;
  readonly t0: number;
  readonly run: OdeRun;
}
