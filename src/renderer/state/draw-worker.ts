import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";
import { measureShot } from "../../shared/shot/measure-shot.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";

export interface DrawRequest {
  readonly session: Session;
  readonly shotId: string;
  readonly facts: ClipFacts | null;
  readonly draws: number;
}

export type DrawAnswer =
  | { readonly kind: "drawn"; readonly done: number }
  | { readonly kind: "result"; readonly result: ShotResult }
  | { readonly kind: "failed"; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<DrawRequest>) => void) | null;
  postMessage(answer: DrawAnswer): void;
};

const TELL_EVERY = 20; // draws: a few times a second

scope.onmessage = ({ data: { session, shotId, facts, draws } }) => {
  const onDraw = (done: number) => {
    if (done % TELL_EVERY === 0) scope.postMessage({ kind: "drawn", done });
  };
  try {
    scope.postMessage({ kind: "result", result: measureShot(session, shotId, facts, { draws, onDraw }) });
  } catch (error) {
    scope.postMessage({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  }
};
