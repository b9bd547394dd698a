import type { CameraPlan } from "../../shared/camera-plan/camera-plan.ts";
import { planningSteps } from "../../shared/camera-plan/plan-camera.ts";
import type { CameraPlanInput } from "../../shared/camera-plan/plan-input.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";

/** A set-up to plan for. */
export interface PlanRequest {
  readonly id: number;
  readonly input: CameraPlanInput;
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

scope.onmessage = ({ data: { id, input, units } }) => plan(id, input, units);

function plan(id: number, input: CameraPlanInput, units: UnitSet): void {
  try {
    for (const whole of [false, true]) {
      const steps = planningSteps(input, { withoutChanges: !whole, units });
      for (;;) {
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
