import type { CameraPlan } from "../../shared/plan/camera-plan.ts";
import { planningSteps } from "../../shared/plan/plan-camera.ts";
import type { CameraPlanInput } from "../../shared/plan/plan-input.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";

/** A set-up to plan for; null stops what is running. A newer request stops the one before. */
export interface PlanRequest {
  readonly id: number;
  readonly input: CameraPlanInput | null;
  /** What the plan's words speak in. */
  readonly units: UnitSet;
}

export type PlanAnswer =
  | { readonly id: number; readonly kind: "progress"; readonly fraction: number; readonly doing: string }
  /** first without the changes, then with them */
  | { readonly id: number; readonly kind: "plan"; readonly plan: CameraPlan; readonly whole: boolean }
  | { readonly id: number; readonly kind: "failed"; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<PlanRequest>) => void) | null;
  postMessage(answer: PlanAnswer): void;
};

let newest = 0;

scope.onmessage = ({ data: { id, input, units } }) => {
  newest = id;
  if (input !== null) void plan(id, input, units);
};

async function plan(id: number, input: CameraPlanInput, units: UnitSet): Promise<void> {
  try {
    for (const whole of [false, true]) {
      const steps = planningSteps(input, { withoutChanges: !whole, units });
      for (;;) {
        await new Promise((resolve) => setTimeout(resolve)); // a newer request may have come
        if (newest !== id) return;
        const step = steps.next();
        if (step.done === true) {
          scope.postMessage({ id, kind: "plan", plan: step.value, whole });
          if (step.value.headlines === null) return; // nothing to compare changes with
          break;
        }
        const { done, total, doing } = step.value;
        scope.postMessage({ id, kind: "progress", fraction: done / total, doing });
      }
    }
  } catch (error) {
    scope.postMessage({
      id,
      kind: "failed",
      message: error instanceof Error ? error.message : String(error),
    });
  }
}
