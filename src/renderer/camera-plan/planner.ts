import { BUDGET_MS, OutOfTime, type PageWorker } from "../workers/budgeted-worker.ts";
import type { PlanAnswer, PlanRequest } from "./plan-worker.ts";

export interface PlannerSetup {
  readonly make: () => PageWorker;
  /** Told of each answer to the newest request; "failed" too when it gave no sign of life for too long. */
  readonly onAnswer: (answer: PlanAnswer) => void;
  readonly budgetMs?: number;
  readonly later: (run: () => void, ms: number) => () => void;
}

/** Plans one set-up at a time. */
export interface Planner {
  /** Begins to plan; what is still being planned is ended. */
  ask(request: PlanRequest): void;
  /** Ends what is being planned. */
  stop(): void;
  /** Ends the worker. */
  close(): void;
}

/**
 * Makes a planner on a worker. The worker is ended when a newer request comes, because between two signs of
 * life it hears nothing, and when it gave none for `budgetMs`; then the next request gets a new one.
 */
export function createPlanner({ make, onAnswer, budgetMs = BUDGET_MS, later }: PlannerSetup): Planner {
  let worker: PageWorker | null = null;
  let busy = false;
  let callOff = () => {};

  function end(): void {
    callOff();
    if (busy) {
      worker?.terminate();
      worker = null;
    }
    busy = false;
  }

  function fail(id: number, message: string): void {
    end();
    onAnswer({ id, kind: "failed", message });
  }

  function watch(id: number): void {
    callOff();
    callOff = later(() => fail(id, new OutOfTime(budgetMs).message), budgetMs);
  }

  return {
    stop: end,
    close() {
      end();
      worker?.terminate();
      worker = null;
    },
    ask(request) {
      end();
      worker ??= make();
      busy = true;
      watch(request.id);
      worker.onmessage = ({ data }: MessageEvent<PlanAnswer>) => {
        if (data.id !== request.id || !busy) return;
        if (isLast(data)) {
          busy = false;
          callOff();
        } else watch(request.id);
        onAnswer(data);
      };
      worker.onerror = (event) => fail(request.id, event.message || "the worker did not start");
      worker.postMessage(request);
    },
  };
}

/**
 * The plan with the changes comes last, or the one without where there is nothing to compare changes with.
 */
function isLast(answer: PlanAnswer): boolean {
  return (
    answer.kind === "failed" || (answer.kind === "plan" && (answer.whole || answer.plan.headlines === null))
  );
}
