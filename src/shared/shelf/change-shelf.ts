import { sameJson } from "../session/patch.ts";
import { differences } from "./compare-things.ts";
import type { Shelf, ShelfEntry, ShelfThing } from "./shelf-schema.ts";
import { kindOf, newest } from "./shelf-schema.ts";

/** What is kept, and where from. */
export interface Keeping {
  readonly thing: ShelfThing;
  /** The entry that it is an edition of; null, or one that this shelf does not have, for a new entry. */
  readonly shelfId: string | null;
  readonly outing: string;
  /** ISO time. */
  readonly at: string;
  /** Id of a new entry, if it comes to that. */
  readonly newId: string;
}

/** Where on the shelf something was put. */
export interface Place {
  readonly shelfId: string;
  readonly edition: number;
}

/**
 * The shelf with a thing kept on it, as a further edition of its entry or as a new one. What is just as the
 * newest edition has it adds none. What was put away is on the shelf again.
 */
export function kept(shelf: Shelf, keeping: Keeping): { readonly shelf: Shelf; readonly place: Place } {
  const { thing, outing, at, newId } = keeping;
  const entry = shelf.entries.find(({ id }) => id === keeping.shelfId);
  if (entry === undefined || kindOf(entry) !== thing.of) {
    const added: ShelfEntry = { id: newId, editions: [{ edition: 1, at, outing, thing }], putAwayAt: null };
    return {
      shelf: { ...shelf, entries: [...shelf.entries, added] },
      place: { shelfId: newId, edition: 1 },
    };
  }
  const last = newest(entry);
  const isSame = isTheSame(last.thing, thing);
  const edition = isSame ? last.edition : last.edition + 1;
  const editions = isSame ? entry.editions : [...entry.editions, { edition, at, outing, thing }];
  return {
    shelf: withEntry(shelf, { ...entry, editions, putAwayAt: null }),
    place: { shelfId: entry.id, edition },
  };
}

/** The shelf with an entry put away, or back on it. @param putAwayAt ISO time; null to bring it back */
export function putAway(shelf: Shelf, shelfId: string, putAwayAt: string | null): Shelf {
  const entry = shelf.entries.find(({ id }) => id === shelfId);
  return entry === undefined ? shelf : withEntry(shelf, { ...entry, putAwayAt });
}

/** What the shelf offers, of one kind or of all: what is not put away, as it was kept. */
export function offered({ entries }: Shelf, of?: ShelfThing["of"]): readonly ShelfEntry[] {
  return entries.filter((one) => one.putAwayAt === null && (of === undefined || kindOf(one) === of));
}

function withEntry(shelf: Shelf, entry: ShelfEntry): Shelf {
  return { ...shelf, entries: shelf.entries.map((one) => (one.id === entry.id ? entry : one)) };
}

/** Ids of points are the session's own, so an airframe is the same where no field is another. */
function isTheSame(before: ShelfThing, after: ShelfThing): boolean {
  if (sameJson(before, after)) return true;
  return after.of === "airframe" && differences(before, after, "SI").length === 0;
}
