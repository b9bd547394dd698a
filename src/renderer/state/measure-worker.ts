import type { Notice } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";
import { createMeasurer } from "../../shared/shot/measurer.ts";
import { refusedShot } from "../../shared/shot/refused-shot.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";

export interface MeasureRequest {
  readonly session: Session;
  readonly shotId: string;
  readonly facts: ClipFacts | null;
  /** quick: from where the last full measurement settled, while a person still moves marks */
  readonly how: "quick" | "full";
  /** Why the shot must not be measured; null when it may be */
  readonly refused: Notice | null;
}

export type MeasureAnswer =
  | { readonly ok: true; readonly result: ShotResult }
  | { readonly ok: false; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<MeasureRequest>) => void) | null;
  postMessage(answer: MeasureAnswer): void;
};

const measurer = createMeasurer();

scope.onmessage = ({ data: { session, shotId, facts, how, refused } }) => {
  try {
    const shot = session.shots.find(({ id }) => id === shotId);
    const result =
      refused === null || shot === undefined
        ? measurer[how](session, shotId, facts)
        : refusedShot(session, shot, refused);
    scope.postMessage({ ok: true, result });
  } catch (error) {
    scope.postMessage({ ok: false, message: error instanceof Error ? error.message : String(error) });
  }
};
