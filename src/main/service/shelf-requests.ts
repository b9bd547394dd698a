import { randomBytes } from "node:crypto";
import {
  type ShelfChangedReply,
  ShelfChangeSchema,
  type ShelfReply,
} from "../../shared/api/shelf-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { kept, type Place, putAway } from "../../shared/shelf/change-shelf.ts";
import { kindOf, type Shelf, type ShelfThing } from "../../shared/shelf/shelf-schema.ts";
import { createShelfFile, type ShelfFile } from "../store/shelf-file.ts";
import { jsonReply, readBody } from "./replies.ts";

/** What the service answers about the person's shelf. */
export interface ShelfRequests {
  read(): Promise<Response>;
  change(request: Request): Promise<Response>;
}

/** @param folder of the shelf; undefined where the host keeps none */
export function createShelfRequests(folder: string | undefined): ShelfRequests {
  const file = folder === undefined ? null : createShelfFile(folder);

  function there(): ShelfFile {
    if (file !== null) return file;
    throw new FaultError(
      "no-shelf",
      "This service was started without a person's data folder, so there is no shelf.",
      "Start Loftmark with npm start, which names it one.",
    );
  }

  return {
    async read() {
      const reply: ShelfReply = { shelf: file === null ? null : await file.read() };
      return jsonReply(reply);
    },
    async change(request) {
      const asked = await readBody(request, ShelfChangeSchema);
      const reply: ShelfChangedReply =
        asked.do === "keep"
          ? await keepOnShelf(there(), asked.thing, asked.shelfId, asked.outing)
          : { shelf: await setAway(there(), asked.shelfId, asked.do === "put-away"), place: null };
      return jsonReply(reply);
    },
  };
}

/** Keeps a thing on the shelf. @param shelfId the entry it is an edition of; null for a new one */
export async function keepOnShelf(
  file: ShelfFile,
  thing: ShelfThing,
  shelfId: string | null,
  outing: string,
): Promise<{ readonly shelf: Shelf; readonly place: Place }> {
  const newId = `${thing.of}-${randomBytes(8).toString("hex")}`;
  let place: Place = { shelfId: newId, edition: 1 };
  const shelf = await file.change((before) => {
    const done = kept(before, { thing, shelfId, outing, at: new Date().toISOString(), newId });
    place = done.place;
    return done.shelf;
  });
  return { shelf, place };
}

/** Puts an entry away, or brings it back. @throws FaultError "not-on-shelf" */
export async function setAway(file: ShelfFile, shelfId: string, away: boolean): Promise<Shelf> {
  return file.change((before) => {
    const entry = before.entries.find(({ id }) => id === shelfId);
    if (entry === undefined) throw notOnShelf(shelfId, before);
    return putAway(before, shelfId, away ? new Date().toISOString() : null);
  });
}

export function notOnShelf(shelfId: string, { entries }: Shelf): FaultError {
  const there = entries.map((entry) => `${entry.id} (${kindOf(entry)})`).join(", ");
  return new FaultError(
    "not-on-shelf",
    `There is no "${shelfId}" on the shelf.`,
    there === "" ? "The shelf is empty: keep something on it first." : `On the shelf are ${there}.`,
  );
}
