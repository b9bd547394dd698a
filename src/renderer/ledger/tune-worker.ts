import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";
import { type PushTrack, pushTrack } from "../../shared/shot/push-track.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import { type TuneOutcome, tuneSession } from "../../shared/tune/tune-session.ts";

export interface TuneAsk {
  readonly session: Session;
  readonly request: TuneRequest;
  /** By clip; a clip that was not read is left out. */
  readonly facts: Readonly<Record<string, ClipFacts>>;
}

export type TuneReply =
  | { readonly kind: "progress"; readonly done: number; readonly total: number; readonly doing: string }
  | { readonly kind: "done"; readonly outcome: TuneOutcome }
  | { readonly kind: "failed"; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<TuneAsk>) => void) | null;
  postMessage(reply: TuneReply): void;
};

scope.onmessage = ({ data: { session, request, facts } }) => {
  try {
    const wanted = new Set([...request.shotIds, ...request.heldOutShotIds]);
    const shots = session.shots.filter(({ id }) => wanted.has(id));
    const tracks = new Map<string, PushTrack>();
    const total = shots.length + 1;
    shots.forEach((shot, done) => {
      scope.postMessage({ kind: "progress", done, total, doing: `reading the push of ${shot.name}` });
      const { track } = pushTrack(session, shot, shot.clip === null ? null : (facts[shot.clip] ?? null));
      if (track !== null) tracks.set(shot.id, track);
    });
    scope.postMessage({ kind: "progress", done: shots.length, total, doing: "fitting the launcher" });
    scope.postMessage({ kind: "done", outcome: tuneSession(session, request, tracks) });
  } catch (error) {
    scope.postMessage({ kind: "failed", message: error instanceof Error ? error.message : String(error) });
  }
};
