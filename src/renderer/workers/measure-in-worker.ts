import type { ShotMemory } from "../../shared/measure/measurer.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import { type BudgetedSetup, createBudgetedWorker, OutOfTime } from "./budgeted-worker.ts";
import type { MeasureAnswer, MeasureMessage, MeasureRequest } from "./measure-worker.ts";

export type MeasureShot = (request: MeasureRequest, signal: AbortSignal) => Promise<ShotResult>;

/**
 * Measures in a worker, one request at a time. A worker that had to be ended is followed by one that is told
 * what it remembered, so that quick measurements stay quick.
 * @returns a function that throws OutOfTime, the signal's reason, or FaultError "not-measured"
 */
export function measureInWorker(setup: BudgetedSetup = { make: newWorker }): MeasureShot {
  const worker = createBudgetedWorker<MeasureMessage, MeasureAnswer>(setup);
  const memories = new Map<string, ShotMemory>();
  return async (request, signal) => {
    const answer = await worker
      .ask((startedAfresh) => ({ request, memories: startedAfresh ? [...memories.values()] : [] }), signal)
      .catch((error: unknown) => {
        if (signal.aborted || error instanceof OutOfTime) throw error;
        throw notMeasured(error instanceof Error ? error.message : String(error));
      });
    if (!answer.ok) throw notMeasured(answer.message);
    if (answer.memory !== null) memories.set(request.shotId, answer.memory);
    return answer.result;
  };
}

function newWorker(): Worker {
  return new Worker(new URL("./measure-worker.ts", import.meta.url), { type: "module" });
}

function notMeasured(message: string): FaultError {
  return new FaultError(
    "not-measured",
    `This shot could not be computed: ${message}.`,
    "Undo the last change. The document is saved as it is; nothing is lost.",
  );
}
