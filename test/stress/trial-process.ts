import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import { type TrialStep, trial } from "./trial.ts";

/** A document to try, as the sweep sends it to its process. */
export interface TrialRequest {
  readonly document: unknown;
  readonly facts: ClipFacts;
  readonly steps: readonly TrialStep[];
  /** The one shot to measure; null for all. */
  readonly only: number | null;
}

/*
 * A process of the sweep: one trial after the other, each answered when it is done. Time is this process's
 * own time on a processor, so that a busy machine makes nothing slow.
 */
process.on("message", async ({ document, facts, steps, only }: TrialRequest) => {
  process.send?.(await trial(document, facts, steps, cpuMs, only));
});

function cpuMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}
