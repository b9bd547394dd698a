import { useEffect, useId, useRef, useState } from "react";
import { useActions } from "../../actions/app-context.ts";
import { afterPress } from "./after-press.ts";
import { draftOf, keepDraft } from "./drafts.ts";
import type { Entry, Typed } from "./entry.ts";

/** Counts visits to fields: all that is typed in one is one step of undo, however long the pause between. */
let visits = 0;

const IDLE_MS = 500; // typing that rests this long is taken into the document

/** What a field reads and where it puts what can stand. */
export interface TypedAs<T> {
  /**
   * Unique in the window: what cannot stand yet is kept under it when its heading closes; null keeps nothing.
   */
  readonly field: string | null;
  /** What the document holds, as text in the field's unit. */
  readonly shown: Typed;
  /** Another unit shows the document again, whatever was typed. */
  readonly unit: string;
  /** An empty field means "not known"; else emptying it is an unfinished entry. */
  readonly optional: boolean;
  readonly read: (typed: Typed) => Entry<T>;
  /** Where what stands waits for the rest of what it belongs to: it is kept as what cannot stand yet is. */
  readonly waits?: boolean | undefined;
  /** What the document would show of a value that stands. */
  readonly show: (stands: T) => Typed;
  readonly onEntry: (stands: T | null) => void;
}

/** The text of a field, what is wrong or odd in it, and what its inputs call. */
export interface TypedField {
  readonly typed: Typed;
  readonly problem: string | null;
  readonly odd: string | null;
  /** The ± that will be assumed if none is typed, or that is. */
  readonly assumed: { readonly u: string; readonly taken: boolean } | null;
  readonly type: (part: Partial<Typed>) => void;
  /** Takes what is typed as finished: on Enter. */
  readonly take: () => void;
  readonly enter: () => void;
  readonly leave: () => void;
}

/**
 * Typing in a field: what is typed stays; what can stand goes into the document when typing rests, on Enter,
 * and when the field is left or taken away. On these three what is missing is assumed, where there is
 * something usual: nothing that was typed is left out of the document in silence. Where the document changes
 * under the field (undo, another unit, a reload) it shows the document again.
 */
export function useTyped<T>(as: TypedAs<T>): TypedField {
  const { field, shown, unit, optional, waits = false, read, show, onEntry } = as;
  const actions = useActions();
  const id = useId();
  const [typed, setTyped] = useState<Typed>(() => (field === null ? undefined : draftOf(field)) ?? shown);
  const [inside, setInside] = useState(false);
  const seen = useRef({ shown, unit });
  const visit = useRef(`${id} 0`);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const entry = read(typed);

  if (!sameText(seen.current.shown, shown) || seen.current.unit !== unit) {
    const ours = entry.kind === "stands" && sameText(show(entry.stands), shown);
    seen.current = { shown, unit };
    if (!ours) {
      draft(null);
      setTyped(shown);
    }
  }

  function draft(now: Typed | null): void {
    if (field !== null) keepDraft(field, now);
  }

  function take(now: Typed, finished: boolean): void {
    clearTimeout(timer.current);
    const taken = read(now);
    const emptied = taken.kind === "empty" && optional;
    const stands = taken.kind === "stands" ? taken.stands : finished ? assumedIn(taken) : undefined;
    const there = stands !== undefined || emptied;
    if (!there) draft(now);
    else draft(waits && stands !== undefined ? show(stands) : null);
    if (stands !== undefined && taken.kind !== "stands") setTyped(show(stands));
    actions.duringVisit(visit.current, () => {
      if (stands !== undefined && !sameText(show(stands), shown)) onEntry(stands);
      if (emptied && !isEmpty(shown)) onEntry(null);
    });
  }

  const latest = useRef((_finished: boolean) => {});
  latest.current = (finished) => take(typed, finished);
  useEffect(() => {
    const leave = () => latest.current(true);
    // what was kept over a reload, and waited for nothing but the page
    if (field !== null && draftOf(field) !== undefined) latest.current(false);
    window.addEventListener("pagehide", leave);
    return () => {
      window.removeEventListener("pagehide", leave);
      leave();
    };
  }, [field]);

  return {
    typed,
    problem: problemOf(entry, { inside, optional, shown, typed }),
    odd: entry.kind === "stands" ? (entry.odd ?? null) : null,
    assumed: assumedOf(entry, typed, show),
    type(part) {
      // another value has another usual ±, and a ± that is typed is no longer assumed
      const { assumed, ...before } = typed;
      const now = { ...before, ...(assumed && part.u === undefined ? { u: "" } : {}), ...part };
      setTyped(now);
      draft(now);
      clearTimeout(timer.current);
      timer.current = setTimeout(() => afterPress(() => latest.current(false)), IDLE_MS);
    },
    take: () => take(typed, true),
    enter() {
      visit.current = `${id} ${++visits}`;
      setInside(true);
    },
    leave: () =>
      afterPress(() => {
        setInside(false);
        latest.current(true);
      }),
  };
}

function assumedIn<T>(entry: Entry<T>): T | undefined {
  return entry.kind === "unfinished" ? entry.assumes : undefined;
}

function assumedOf<T>(entry: Entry<T>, typed: Typed, show: (stands: T) => Typed): TypedField["assumed"] {
  const assumes = assumedIn(entry);
  if (assumes !== undefined) return { u: show(assumes).u, taken: false };
  return entry.kind === "stands" && typed.assumed ? { u: typed.u, taken: true } : null;
}

interface Standing {
  readonly inside: boolean;
  readonly optional: boolean;
  readonly shown: Typed;
  readonly typed: Typed;
}

function problemOf(entry: Entry<unknown>, { inside, optional, shown, typed }: Standing): string | null {
  // What stands in the document may itself be what is wrong: then nothing else stands until it is corrected.
  const kept = isEmpty(shown) || sameText(typed, shown) ? "" : " Until then the previous value is kept.";
  if (entry.kind === "wrong") return `${entry.cause} ${entry.remedy}${kept}`;
  if (inside) return null;
  if (entry.kind === "unfinished" && entry.assumes === undefined)
    return `${entry.cause} ${entry.remedy}${kept}`;
  if (entry.kind === "empty" && !optional && !isEmpty(shown)) return `It cannot be empty.${kept}`;
  return null;
}

function sameText(a: Typed, b: Typed): boolean {
  return a.value === b.value && a.u === b.u && a.assumed === b.assumed;
}

function isEmpty({ value, u }: Typed): boolean {
  return value === "" && u === "";
}
