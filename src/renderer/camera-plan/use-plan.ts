import { useEffect, useRef, useState } from "react";
import type { CameraPlan } from "../../shared/camera-plan/camera-plan.ts";
import type { CameraPlanInput } from "../../shared/camera-plan/plan-input.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";
import type { PlanAnswer } from "./plan-worker.ts";
import { createPlanner, type Planner } from "./planner.ts";

const TYPING_MS = 400; // typing that rests this long is planned for

export interface Planning {
  /** of the newest input, or of the one before while that is being worked on; null before the first */
  readonly plan: CameraPlan | null;
  /** The plan is of the newest input. */
  readonly fresh: boolean;
  /** The changes have been tried too. */
  readonly whole: boolean;
  readonly progress: { readonly fraction: number; readonly doing: string } | null;
  readonly failed: string | null;
  /** Stops the work; what is there stays. */
  stop(): void;
}

/**
 * Plans in a worker for as long as it is used; another input stops the work on the one before.
 * Null input: nothing to plan.
 */
export function usePlan(input: CameraPlanInput | null, units: UnitSet): Planning {
  const planner = useRef<Planner | null>(null);
  const newest = useRef(0);
  const [state, setState] = useState<Omit<Planning, "stop">>({
    plan: null,
    fresh: false,
    whole: false,
    progress: null,
    failed: null,
  });

  useEffect(() => {
    const onAnswer = (data: PlanAnswer) => {
      if (data.id !== newest.current) return;
      setState((before) => {
        switch (data.kind) {
          case "progress":
            return { ...before, progress: { fraction: data.fraction, doing: data.doing } };
          case "plan": {
            const ended = data.whole || data.plan.headlines === null;
            return {
              plan: data.plan,
              fresh: true,
              whole: data.whole,
              progress: ended ? null : before.progress,
              failed: null,
            };
          }
          case "failed":
            return { ...before, progress: null, failed: data.message };
        }
      });
    };
    const made = createPlanner({ make: newWorker, onAnswer, later: afterMs });
    planner.current = made;
    return () => made.close();
  }, []);

  useEffect(() => {
    newest.current++;
    planner.current?.stop();
    if (input === null) {
      setState((before) => ({ ...before, fresh: false, progress: null }));
      return;
    }
    setState((before) => ({
      ...before,
      fresh: false,
      whole: false,
      progress: { fraction: 0, doing: "simulating the shot" },
    }));
    const id = newest.current;
    return afterMs(() => planner.current?.ask({ id, input, units }), TYPING_MS);
  }, [input, units]);

  return {
    ...state,
    stop() {
      newest.current++;
      planner.current?.stop();
      setState((before) => ({ ...before, progress: null }));
    },
  };
}

function newWorker(): Worker {
  return new Worker(new URL("./plan-worker.ts", import.meta.url), { type: "module" });
}

function afterMs(run: () => void, ms: number): () => void {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
}
