import type { Typed } from "./entry.ts";

const KEY = "loftmark-drafts";

let drafts: Map<string, Typed> | null = null;

/**
 * What was typed and cannot stand in the document yet, by field: kept while headings close and pages reload,
 * under the page's address, which names the folder.
 */
export function draftOf(field: string): Typed | undefined {
  return all().get(field);
}

export function keepDraft(field: string, typed: Typed | null): void {
  if (typed !== null) all().set(field, typed);
  else if (!all().delete(field)) return;
  try {
    sessionStorage.setItem(place(), JSON.stringify([...all()]));
  } catch {
    // a browser that keeps nothing: the drafts live as long as the page
  }
}

function all(): Map<string, Typed> {
  drafts ??= keptDrafts();
  return drafts;
}

function keptDrafts(): Map<string, Typed> {
  try {
    return new Map(JSON.parse(sessionStorage.getItem(place()) ?? "[]") as [string, Typed][]);
  } catch {
    return new Map(); // nothing that can be read was kept there
  }
}

function place(): string {
  return `${KEY} ${location.search}`;
}
