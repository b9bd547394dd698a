import { applyEdit, type Edit } from "./edits.ts";
import type { Session } from "./schema.ts";

/** A stack of documents: `past` oldest first, `future` nearest first. Sessions share structure, so this is cheap. */
export interface History {
  readonly past: readonly Session[];
  readonly present: Session;
  readonly future: readonly Session[];
}

const KEPT = 500; // steps; more than a person undoes, and each costs only what it changed

export function startHistory(session: Session): History {
  return { past: [], present: session, future: [] };
}

/** Applies an edit as one undoable step and drops what had been undone. @throws RangeError as applyEdit does */
export function edited(history: History, edit: Edit): History {
  return {
    past: [...history.past, history.present].slice(-KEPT),
    present: applyEdit(history.present, edit),
    future: [],
  };
}

/** One step back; the same history when there is nothing to undo. */
export function undone(history: History): History {
  const previous = history.past.at(-1);
  if (previous === undefined) return history;
  return { past: history.past.slice(0, -1), present: previous, future: [history.present, ...history.future] };
}

/** One step forward again; the same history when there is nothing to redo. */
export function redone(history: History): History {
  const [next, ...rest] = history.future;
  if (next === undefined) return history;
  return { past: [...history.past, history.present], present: next, future: rest };
}
