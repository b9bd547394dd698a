import type { JobReply } from "../../shared/api/job-contract.ts";
import type { Edit } from "../../shared/session/edits.ts";
import type { Tuning } from "../../shared/session/schema.ts";
import { tuningOf } from "../../shared/session/what-took-part.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { SessionTuning } from "../../shared/tune/tune-session.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { isOurs, type Jobs } from "./jobs.ts";

/** Key of the work that tunes the launcher. */
export const TUNE_KEY = "tune";

/**
 * What was told of tunings since the window was opened, by the values they left in the
 * document: undo finds them again.
 */
const told = new WeakMap<object, SessionTuning>();

/** What the fit said when these tuned values were made; undefined for those of an earlier day. */
export function toldOf(tuned: NonNullable<Tuning["tuned"]>): SessionTuning | undefined {
  return told.get(tuned);
}

export interface TuneParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly change: (edit: Edit) => void;
}

/**
 * Tunes the launcher as asked and puts the tuned values into the document as one step of undo.
 * Stopped, it leaves it as it was.
 */
export async function tuneLauncher(parts: TuneParts, request: TuneRequest): Promise<void> {
  const { store, jobs } = parts;
  if (store.get().jobs.some(({ key }) => key === TUNE_KEY)) return;
  store.set({ ...store.get(), tuneFault: null });
  try {
    const job = await jobs.runOnDocument(TUNE_KEY, (document) => ({
      kind: "tune",
      document,
      launcherId: request.launcherId,
      parameters: [...request.parameters],
      shotIds: [...request.shotIds],
      heldOutShotIds: [...request.heldOutShotIds],
    }));
    const value = tuningIn(job);
    if (!isOurs(job) || value === null) return;
    setTuned(parts, request, value);
    await jobs.take(job);
  } catch (error) {
    store.set({ ...store.get(), tuneFault: faultOf(error) });
  }
}

/** What a tuning came to, from the reply that carries it; null where it carries none. */
export function tuningIn({ tuned }: JobReply): SessionTuning | null {
  if (tuned == null) return null;
  const { tuning } = tuned;
  return { ...tuned, tuning: { ...tuning, correlation: Float64Array.from(tuning.correlation) } };
}

/** Puts tuned values into the document; whether predictions use them stays as it was. */
export function setTuned(
  { store, change }: Pick<TuneParts, "store" | "change">,
  request: TuneRequest,
  value: SessionTuning,
): void {
  const { launcherId } = request;
  const before = tuningOf(sessionOf(store.get()), launcherId);
  told.set(value.tuned, value);
  change({
    kind: "set-tuning",
    launcherId,
    tuning: {
      parameters: [...request.parameters],
      shotIds: [...request.shotIds],
      heldOutShotIds: [...request.heldOutShotIds],
      tuned: value.tuned,
      use: before?.use ?? false,
    },
  });
}
