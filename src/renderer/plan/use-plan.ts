import { useEffect, useRef, useState } from "react";
import type { CameraPlan } from "../../shared/plan/camera-plan.ts";
import type { CameraPlanInput } from "../../shared/plan/plan-input.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";
import type { PlanAnswer, PlanRequest } from "./plan-worker.ts";

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

/** Plans in a worker for as long as it is used; another input stops the work on the one before. Null input: nothing to plan. */
export function usePlan(input: CameraPlanInput | null, units: UnitSet): Planning {
  const worker = useRef<Worker | null>(null);
  const newest = useRef(0);
  const [state, setState] = useState<Omit<Planning, "stop">>({
    plan: null,
    fresh: false,
    whole: false,
    progress: null,
    failed: null,
  });

  useEffect(() => {
    const made = new Worker(new URL("./plan-worker.ts", import.meta.url), { type: "module" });
    worker.current = made;
    made.onmessage = ({ data }: MessageEvent<PlanAnswer>) => {
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
    return () => made.terminate();
  }, []);

  useEffect(() => {
    newest.current++;
    worker.current?.postMessage({ id: newest.current, input: null, units } satisfies PlanRequest);
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
    const timer = setTimeout(
      () => worker.current?.postMessage({ id, input, units } satisfies PlanRequest),
      TYPING_MS,
    );
    return () => clearTimeout(timer);
  }, [input, units]);

  return {
    ...state,
    stop() {
      newest.current++;
      worker.current?.postMessage({ id: newest.current, input: null, units } satisfies PlanRequest);
      setState((before) => ({ ...before, progress: null }));
    },
  };
}
