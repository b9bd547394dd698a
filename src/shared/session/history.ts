import type { EditWords } from "./edit-words.ts";
import type { Session } from "./schema.ts";

/** A step of undo: the state on its other side, and what was done between the two. */
export interface HistoryStep extends EditWords {
  readonly session: Session;
  /** When it was done, ISO 8601. */
  readonly at: string;
}

/**
 * A stack of documents: `past` oldest first, `future` nearest first. Sessions share
 * structure, so this is cheap.
 */
export interface History {
  readonly past: readonly HistoryStep[];
  readonly present: Session;
  readonly future: readonly HistoryStep[];
}

const KEPT = 500; // steps; more than a person undoes, and each costs only what it changed

export function startHistory(session: Session): History {
  return { past: [], present: session, future: [] };
}

/** Puts a new state on the stack as one undoable step and drops what had been undone. */
export function done(history: History, present: Session, words: EditWords, at: string): History {
  const step = { ...words, at, session: history.present };
  return { past: [...history.past, step].slice(-KEPT), present, future: [] };
}

/** Makes a new state part of the last step, which keeps its words; a step of its own when there is none. */
export function joined(history: History, present: Session, words: EditWords, at: string): History {
  if (history.past.length === 0) return done(history, present, words, at);
  return { past: history.past, present, future: [] };
}

/** One step back; the same history when there is nothing to undo. */
export function undone(history: History): History {
  const step = history.past.at(-1);
  if (step === undefined) return history;
  return {
    past: history.past.slice(0, -1),
    present: step.session,
    future: [{ ...step, session: history.present }, ...history.future],
  };
}

/** One step forward again; the same history when there is nothing to redo. */
export function redone(history: History): History {
  const [step, ...rest] = history.future;
  if (step === undefined) return history;
  return {
    past: [...history.past, { ...step, session: history.present }],
    present: step.session,
    future: rest,
  };
}
