import { createMeasurer, type ShotMemory } from "../../shared/measure/measurer.ts";
import { refusedShot } from "../../shared/measure/refused-shot.ts";
import type { ShotNotice } from "../../shared/results/notices/shot-notices.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { launchInputs } from "../../shared/session/launch-inputs.ts";
import type { Session } from "../../shared/session/schema.ts";

export interface MeasureRequest {
  readonly session: Session;
  readonly shotId: string;
  readonly facts: ClipFacts | null;
  /** quick: from where the last full measurement settled, while a person still moves marks */
  readonly how: "quick" | "full";
  /** Why the shot must not be measured; null when it may be */
  readonly refused: ShotNotice | null;
}

export interface MeasureMessage {
  readonly request: MeasureRequest;
  /** What a worker before this one remembered; only with the first message. */
  readonly memories: readonly ShotMemory[];
}

export type MeasureAnswer =
  /** `memory` is what a later worker is to know; null where nothing new is remembered */
  | { readonly ok: true; readonly result: ShotResult; readonly memory: ShotMemory | null }
  | { readonly ok: false; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<MeasureMessage>) => void) | null;
  postMessage(answer: MeasureAnswer): void;
};

const measurer = createMeasurer();

scope.onmessage = ({ data: { request, memories } }) => {
  const { session, shotId, facts, how, refused } = request;
  try {
    const shot = session.shots.find(({ id }) => id === shotId);
    if (refused !== null && shot !== undefined) {
      scope.postMessage({
        ok: true,
        result: refusedShot(shotId, launchInputs(session, shot), refused),
        memory: null,
      });
      return;
    }
    measurer.remember(memories);
    const result = measurer[how](session, shotId, facts);
    scope.postMessage({ ok: true, result, memory: how === "full" ? measurer.memoryOf(shotId) : null });
  } catch (error) {
    scope.postMessage({ ok: false, message: error instanceof Error ? error.message : String(error) });
  }
};
