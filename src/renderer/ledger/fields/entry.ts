import type { EntryUnit } from "../../../shared/inputs/entry-unit.ts";

/** What values a field takes, in SI. */
export type EntryRule = "any" | "positive" | "not-negative";

/** What a person typed, exactly as typed; `u` stays empty in a field without an uncertainty. */
export interface Typed {
  readonly value: string;
  readonly u: string;
  /** The u is not the person's but the one that was assumed for them. */
  readonly assumed?: true | undefined;
}

/**
 * What typed text means: a value that can stand in the document, nothing at all, or text that cannot stand
 * yet ("unfinished") or ever ("wrong"), both with a remedy. What is unfinished may have something usual that
 * is taken in its place once the field is left: `assumes`.
 */
export type Entry<T> =
  | { readonly kind: "stands"; readonly stands: T; readonly odd?: string }
  | { readonly kind: "empty" }
  | { readonly kind: "unfinished"; readonly cause: string; readonly remedy: string; readonly assumes?: T }
  | { readonly kind: "wrong"; readonly cause: string; readonly remedy: string };

export type Unread = Extract<Entry<never>, { kind: "unfinished" | "wrong" }>;

/** Reads a number with a decimal point or comma; null when it is none. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace("−", "-");
  const dotted = plain.includes(".") ? plain : plain.replace(",", ".");
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(dotted)) return null;
  const number = Number(dotted);
  return Number.isFinite(number) ? number : null;
}

/** Reads a value in the field's unit into SI, or says why it cannot stand. */
export function readValue(text: string, unit: EntryUnit, rule: EntryRule): number | Unread {
  const shown = numberOf(text);
  if (shown === null) return wrong(`“${text.trim()}” is not a number.`, "Type digits, such as 1200 or 0.82.");
  const si = (shown - unit.offset) / unit.factor;
  if (rule === "positive" && !(si > 0)) return wrong("It must be above zero.", "Type what was measured.");
  if (rule === "not-negative" && si < 0) return wrong("It cannot be below zero.", "Type zero or more.");
  return si;
}

export function wrong(cause: string, remedy: string): Unread {
  return { kind: "wrong", cause, remedy };
}

export function unfinished(cause: string, remedy: string): Unread {
  return { kind: "unfinished", cause, remedy };
}
