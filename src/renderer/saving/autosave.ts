import { type Fault, FaultError } from "../../shared/quantity/notice.ts";

/** Where the document stands against the folder. */
export type SaveState =
  | { readonly status: "saved" }
  | { readonly status: "waiting" }
  | { readonly status: "saving" }
  | { readonly status: "failed"; readonly fault: Fault }
  | { readonly status: "conflict"; readonly fault: Fault };

export interface AutosaveOptions<S> {
  /**
   * Saves steps made since `baseRevision`.
   * @returns the new revision.
   * @throws FaultError, "session-changed" on a conflict
   */
  readonly save: (steps: readonly S[], baseRevision: string, leaving: boolean) => Promise<string>;
  /**
   * One step for two, where the second belongs to the first and neither was sent; null where they stay two.
   */
  readonly join: (first: S, second: S) => S | null;
  readonly onState: (state: SaveState) => void;
  /** ms of quiet before a save starts */
  readonly delayMs: number;
  /** ms until a failed save is tried again */
  readonly retryMs: number;
  readonly later: (run: () => void, ms: number) => () => void;
}

/** Saves steps a little after each was made, one save at a time, all of them and in their order. */
export interface Autosave<S> {
  made(step: S): void;
  /** Saves what is not saved yet, now. `leaving` says that the page goes away. */
  flush(leaving?: boolean): Promise<void>;
  /**
   * Settles a conflict: the revision to build on, and the steps to be made on it in place of those that wait.
   */
  rebase(revision: string, steps: readonly S[]): void;
  revision(): string;
  /** The steps that are not known to be saved. */
  unsaved(): readonly S[];
}

/** Makes the autosave of a document that was loaded at `revision` and is saved there. */
export function createAutosave<S>(revision: string, options: AutosaveOptions<S>): Autosave<S> {
  let base = revision;
  let pending: readonly S[] = [];
  // of the pending steps, also when no answer came: they may be saved, and must not change any more
  let sent = 0;
  let running: Promise<void> | null = null;
  let stopped = false; // a conflict waits for the person
  let cancelTimer: () => void = () => {};

  const schedule = (ms: number) => {
    cancelTimer();
    cancelTimer = options.later(() => void flush(), ms);
  };

  async function saveOnce(leaving: boolean): Promise<void> {
    const taken = pending;
    if (taken.length === 0 || stopped) return;
    sent = taken.length;
    options.onState({ status: "saving" });
    try {
      base = await options.save(taken, base, leaving);
      sent = 0;
      pending = pending.slice(taken.length);
      if (pending.length === 0) options.onState({ status: "saved" });
      else wait(options.delayMs);
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

  function wait(ms: number): void {
    options.onState({ status: "waiting" });
    schedule(ms);
  }

  async function flush(leaving = false): Promise<void> {
    cancelTimer();
    // Several may wait for one save; when it is over, the first of them saves and the others wait again.
    while (running !== null) await running;
    running = saveOnce(leaving);
    await running;
    running = null;
  }

  return {
    made(step) {
      const last = pending.length > sent ? pending.at(-1) : undefined;
      const joined = last === undefined ? null : options.join(last, step);
      pending = joined === null ? [...pending, step] : [...pending.slice(0, -1), joined];
      if (!stopped) wait(options.delayMs);
    },
    flush,
    rebase(revisionNow, steps) {
      base = revisionNow;
      pending = steps;
      sent = 0;
      stopped = false;
      if (pending.length === 0) options.onState({ status: "saved" });
      else wait(0);
    },
    revision: () => base,
    unsaved: () => pending,
  };
}

/** The fault an exception carries; an exception without one becomes a plain sentence, never a stack. */
export function faultOf(error: unknown): Fault {
  if (error instanceof FaultError) return error.fault;
  const message = error instanceof Error ? error.message : String(error);
  return {
    code: "unexpected",
    cause: `Loftmark met an unexpected problem: ${message}.`,
    remedy: "Try again; if it happens again, reload the window. What was saved stays saved.",
  };
}
