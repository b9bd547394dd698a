import { type Fault, FaultError } from "../../shared/quantity/notice.ts";

/** Where the document stands against the folder. */
export type SaveState =
  | { readonly status: "saved" }
  | { readonly status: "waiting" }
  | { readonly status: "saving" }
  | { readonly status: "failed"; readonly fault: Fault }
  | { readonly status: "conflict"; readonly fault: Fault };

export interface AutosaveOptions<D> {
  /** Saves `document` on top of `baseRevision`. @returns the new revision. @throws FaultError, "session-changed" on a conflict */
  readonly save: (document: D, baseRevision: string, leaving: boolean) => Promise<string>;
  readonly onState: (state: SaveState) => void;
  /** ms of quiet before a save starts */
  readonly delayMs: number;
  /** ms until a failed save is tried again */
  readonly retryMs: number;
  readonly later: (run: () => void, ms: number) => () => void;
}

/** Saves a document a little after each change, one save at a time, the newest always last. */
export interface Autosave<D> {
  changed(document: D): void;
  /** Saves what is not saved yet, now. `leaving` says that the page goes away. */
  flush(leaving?: boolean): Promise<void>;
  /** What the next save builds on, and a conflict is settled by. */
  rebase(revision: string): void;
  revision(): string;
  unsaved(): boolean;
}

/** Makes the autosave of a document that was loaded at `revision` and is saved there. */
export function createAutosave<D>(revision: string, options: AutosaveOptions<D>): Autosave<D> {
  let base = revision;
  let pending: { readonly document: D } | null = null;
  let running: Promise<void> | null = null;
  let stopped = false; // a conflict waits for the person
  let cancelTimer: () => void = () => {};

  const schedule = (ms: number) => {
    cancelTimer();
    cancelTimer = options.later(() => void flush(), ms);
  };

  async function saveOnce(leaving: boolean): Promise<void> {
    const taken = pending;
    if (taken === null || stopped) return;
    options.onState({ status: "saving" });
    try {
      base = await options.save(taken.document, base, leaving);
      if (pending === taken) {
        pending = null;
        options.onState({ status: "saved" });
      } else {
        options.onState({ status: "waiting" });
        schedule(options.delayMs);
      }
    } catch (error) {
      const fault = faultOf(error);
      if (fault.code === "session-changed") {
        stopped = true;
        options.onState({ status: "conflict", fault });
      } else {
        options.onState({ status: "failed", fault });
        schedule(options.retryMs);
      }
    }
  }

  async function flush(leaving = false): Promise<void> {
    cancelTimer();
    if (running !== null) await running;
    running = saveOnce(leaving);
    await running;
    running = null;
  }

  return {
    changed(document) {
      pending = { document };
      if (stopped) return;
      options.onState({ status: "waiting" });
      schedule(options.delayMs);
    },
    flush,
    rebase(revisionNow) {
      base = revisionNow;
      stopped = false;
      if (pending === null) options.onState({ status: "saved" });
      else {
        options.onState({ status: "waiting" });
        schedule(0);
      }
    },
    revision: () => base,
    unsaved: () => pending !== null,
  };
}

/** The fault an exception carries; an exception without one becomes a plain sentence, never a stack. */
export function faultOf(error: unknown): Fault {
  if (error instanceof FaultError) return error.fault;
  const message = error instanceof Error ? error.message : String(error);
  return {
    code: "unexpected",
    cause: `Something went wrong that Loftmark did not foresee: ${message}.`,
    remedy: "Try again; if it happens again, reload the window. What was saved stays saved.",
  };
}
