import type { Typed } from "./entry.ts";

/** What was typed and cannot stand in the document yet, by field: kept while headings close and open. */
export type Drafts = Map<string, Typed>;

const drafts: Drafts = new Map();

export function draftOf(field: string): Typed | undefined {
  return drafts.get(field);
}

export function keepDraft(field: string, typed: Typed | null): void {
  if (typed === null) drafts.delete(field);
  else drafts.set(field, typed);
}
