import type { ShelfChange } from "../../shared/api/shelf-contract.ts";
import type { Edit } from "../../shared/session/edits.ts";
import type { ThingKind } from "../../shared/session/shelf-schemas.ts";
import { shelvedAs } from "../../shared/session/shelved.ts";
import type { Place } from "../../shared/shelf/change-shelf.ts";
import { thingInSession } from "../../shared/shelf/session-thing.ts";
import { kindOf, nameOf, newest, type Shelf, type ShelfEntry } from "../../shared/shelf/shelf-schema.ts";
import { giving, takenBefore, taking, takingAgain } from "../../shared/shelf/take-from-shelf.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";

interface ShelfParts {
  readonly store: Store<AppState>;
  readonly service: Service;
  readonly change: (edit: Edit) => void;
  readonly changeAll: (edits: readonly Edit[], says?: string) => void;
}

/** What the outing in the window is called on the shelf. */
export function outingName(state: AppState): string {
  return sessionOf(state).title || state.folderName;
}

/** What is kept on the person's shelf and taken from it. */
export function createShelfActions({ store, service, change, changeAll }: ShelfParts) {
  const get = store.get;
  const show = (shelf: Shelf | null) => store.set({ ...get(), shelf: { shelf, fault: null } });

  async function orFault<T>(work: () => Promise<T>): Promise<T | null> {
    try {
      return await work();
    } catch (error) {
      store.set({ ...get(), shelf: { ...get().shelf, fault: faultOf(error) } });
      return null;
    }
  }

  function changeShelf(asked: ShelfChange): Promise<Place | null> {
    return orFault(async () => {
      const { shelf, place } = await service.changeShelf(asked);
      show(shelf);
      return place;
    });
  }

  const nameIn = (entry: ShelfEntry) => `the ${kindOf(entry)} ${nameOf(newest(entry).thing)}`;

  return {
    /** Reads the shelf again: another window or a command may have changed it. */
    lookAtShelf: () => orFault(async () => show(await service.shelf())),
    /** Keeps a thing of the session on the shelf, as a further edition where it is there already. */
    async keepOnShelf(of: ThingKind, id: string): Promise<void> {
      const session = sessionOf(get());
      const outing = outingName(get());
      const thing = thingInSession(session, of, id, outing);
      if (thing === null) return;
      const shelfId = shelvedAs(session, of, id)?.shelfId ?? null;
      const place = await changeShelf({ do: "keep", thing, shelfId, outing });
      if (place !== null) change({ kind: "note-shelved", shelved: { of, id, ...place } });
    },
    /** Gives a shot what is on the shelf: a copy, or the one that the session took before, as it is now. */
    takeFromShelf(entry: ShelfEntry, shotId: string): void {
      const session = sessionOf(get());
      const own = takenBefore(session, entry);
      const edits = own === null ? taking(session, entry, [shotId]).edits : giving(entry, own, [shotId]);
      changeAll(edits, `Took ${nameIn(entry)} from the shelf`);
    },
    /** Puts what the shelf has in the place of what the session has of it. */
    takeShelfValues(entry: ShelfEntry, id: string): void {
      const { edits } = takingAgain(sessionOf(get()), entry, id);
      changeAll(edits, `Took the shelf's values of ${nameIn(entry)}`);
    },
    putAwayOnShelf: (shelfId: string) => changeShelf({ do: "put-away", shelfId }),
    bringBackOnShelf: (shelfId: string) => changeShelf({ do: "bring-back", shelfId }),
  };
}
