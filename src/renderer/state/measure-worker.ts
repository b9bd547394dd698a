import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";
import { measureShot } from "../../shared/shot/measure-shot.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";

export interface MeasureRequest {
  readonly session: Session;
  readonly shotId: string;
  readonly facts: ClipFacts | null;
}

export type MeasureAnswer =
  | { readonly ok: true; readonly result: ShotResult }
  | { readonly ok: false; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<MeasureRequest>) => void) | null;
  postMessage(answer: MeasureAnswer): void;
};

scope.onmessage = ({ data }) => {
  try {
    scope.postMessage({ ok: true, result: measureShot(data.session, data.shotId, data.facts) });
  } catch (error) {
    scope.postMessage({ ok: false, message: error instanceof Error ? error.message : String(error) });
  }
};
