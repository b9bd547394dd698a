import type { UnitSet } from "../quantity/display.ts";
import { sameJson } from "../session/patch.ts";
import type { Session } from "../session/schema.ts";
import type { ThingKind } from "../session/shelf-schemas.ts";
import { shelvedAs } from "../session/shelved.ts";
import { thingInSession } from "./session-thing.ts";
import { newest, type Shelf, type ShelfEntry, type ShelfThing } from "./shelf-schema.ts";
import { valuesOf } from "./thing-values.ts";

/** One field in which two states of a thing differ, each with its ± and unit where it is a number. */
export interface Difference {
  readonly words: string;
  readonly before: string;
  readonly after: string;
}

const NOTHING = "not stated";

/** Field by field in the order of the document, what is only in the second at the end. */
export function differences(before: ShelfThing, after: ShelfThing, units: UnitSet): readonly Difference[] {
  const [were, are] = [valuesOf(before, units), valuesOf(after, units)];
  const keys = new Set([...were.keys(), ...are.keys()]);
  return [...keys].flatMap((key): readonly Difference[] => {
    const [was, is] = [were.get(key), are.get(key)];
    if (was !== undefined && is !== undefined && sameJson(was.held, is.held)) return [];
    const words = is?.words ?? was?.words ?? key;
    const [text, then] = [was?.text ?? NOTHING, is?.text ?? NOTHING];
    return [{ words, before: text, after: text === then ? `${then}, but others` : then }];
  });
}

/**
 * How a thing of a session stands to the shelf. new: it was neither taken from it nor kept on it; elsewhere:
 * it was, on a shelf that is not this one; known: what changed since, here and there.
 */
export type ShelfStanding =
  | { readonly kind: "new" }
  | { readonly kind: "elsewhere" }
  | {
      readonly kind: "known";
      readonly entry: ShelfEntry;
      /** What the session has other than the edition that it took or kept. */
      readonly here: readonly Difference[];
      /** What the shelf has by now other than that edition. */
      readonly there: readonly Difference[];
    };

/** @param outing what the session's outing is called, as in `thingInSession` */
export function shelfStanding(
  session: Session,
  shelf: Shelf,
  of: ThingKind,
  id: string,
  outing: string,
): ShelfStanding {
  const note = shelvedAs(session, of, id);
  const own = thingInSession(session, of, id, outing);
  if (note === null || own === null) return { kind: "new" };
  const entry = shelf.entries.find((one) => one.id === note.shelfId);
  const edition = entry?.editions.find((one) => one.edition === note.edition);
  if (entry === undefined || edition === undefined || edition.thing.of !== of) return { kind: "elsewhere" };
  const { units } = session;
  return {
    kind: "known",
    entry,
    here: differences(edition.thing, own, units),
    there: differences(edition.thing, newest(entry).thing, units),
  };
}
