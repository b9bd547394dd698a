import { FaultError } from "../../shared/quantity/notice.ts";
import type { Session } from "../../shared/session/schema.ts";
import { THING_KINDS, type ThingKind } from "../../shared/session/shelf-schemas.ts";
import { shelvedAs, thingsOf } from "../../shared/session/shelved.ts";
import { shelfStanding } from "../../shared/shelf/compare-things.ts";
import { thingInSession } from "../../shared/shelf/session-thing.ts";
import { nameOf, newest, type Shelf, type ShelfEntry } from "../../shared/shelf/shelf-schema.ts";
import { giving, takenBefore, taking, takingAgain } from "../../shared/shelf/take-from-shelf.ts";
import { personDirs } from "../host/start-of-day.ts";
import { keepOnShelf, notOnShelf, setAway } from "../service/shelf-requests.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { createShelfFile, type ShelfFile, shelfFolder } from "../store/shelf-file.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { changeWords, listWords, standingWords } from "./shelf-words.ts";
import { UsageError, type Verb, type VerbCall } from "./verb.ts";

const ACTIONS = ["list", "keep", "take", "changes", "put-away", "bring-back"] as const;
type Action = (typeof ACTIONS)[number];

export const shelfVerb: Verb = {
  name: "shelf",
  usage:
    "[list | keep | take | changes | put-away | bring-back] [FOLDER] [--launcher ID] [--airframe ID] [--camera ID] [--id ID] [--shots X,Y]",
  summary: "Airframes, launchers and cameras kept from outing to outing, in your own data folder.",
  details: [
    "list               what is on the shelf, the default",
    "keep FOLDER        keeps the session's --launcher, --airframe or --camera ID; again as a new edition",
    "take FOLDER        brings --id ID from the shelf into the session, for the shots --shots X,Y;",
    "                   where the session has it already, its values become those of the shelf",
    "changes FOLDER     what differs since it was taken or kept, field by field with ±",
    "put-away, bring-back   takes --id ID off the list, or puts it back; nothing is deleted",
    "A launcher is kept with its tuned values and the shots they come from.",
  ],
  operands: [0, 2],
  options: {
    launcher: { type: "string" },
    airframe: { type: "string" },
    camera: { type: "string" },
    id: { type: "string" },
    shots: { type: "string" },
  },
  async run(call) {
    const action = actionOf(call.operands[0]);
    const file = createShelfFile(shelfFolder(personDirs().dataDir));
    const { value, text } = await ACTS[action](file, call);
    call.terminal.out(call.json ? `${JSON.stringify(value, null, 2)}\n` : text);
    return 0;
  },
};

interface Told {
  readonly value: unknown;
  readonly text: string;
}

const ACTS: Readonly<Record<Action, (file: ShelfFile, call: VerbCall) => Promise<Told>>> = {
  async list(file) {
    const shelf = await file.read();
    return { value: shelf, text: listWords(shelf) };
  },
  keep,
  take,
  changes,
  "put-away": (file, call) => away(file, call, true),
  "bring-back": (file, call) => away(file, call, false),
};

async function keep(file: ShelfFile, call: VerbCall): Promise<Told> {
  const { folder, session } = await openGiven(call);
  await folder.mustBeWritable();
  const { of, id } = thingGiven(session, call.options);
  const outing = outingOf(session, folder);
  const thing = thingInSession(session, of, id, outing);
  if (thing === null) throw noSuchThing(session, of, id);
  const { shelf, place } = await keepOnShelf(
    file,
    thing,
    shelvedAs(session, of, id)?.shelfId ?? null,
    outing,
  );
  await saveEdits(folder, (now) =>
    thingsOf(now, of).some((one) => one.id === id)
      ? [{ kind: "note-shelved", shelved: { of, id, ...place } }]
      : [],
  );
  const entry = entryOf(shelf, place.shelfId);
  return { value: { ...place, of, name: nameOf(thing) }, text: changeWords("Kept", entry) };
}

async function take(file: ShelfFile, call: VerbCall): Promise<Told> {
  const { folder, session } = await openGiven(call);
  await folder.mustBeWritable();
  const entry = entryOf(await file.read(), given(call.options.id, "--id"));
  const shotIds = listOf(call.options.shots);
  const unknown = shotIds.find((id) => !session.shots.some((shot) => shot.id === id));
  if (unknown !== undefined) {
    const ids = session.shots.map(({ id }) => id).join(", ");
    throw new UsageError(`--shots takes ids of shots: ${ids}; not "${unknown}".`);
  }
  let id = "";
  await saveEdits(folder, (now) => {
    const own = takenBefore(now, entry);
    const taken = own === null ? taking(now, entry, shotIds) : takingAgain(now, entry, own);
    id = taken.id;
    return own === null ? taken.edits : [...taken.edits, ...giving(entry, own, shotIds)];
  });
  const { edition } = newest(entry);
  return { value: { id, shelfId: entry.id, edition }, text: changeWords("Took", entry, `, here ${id}`) };
}

async function changes(file: ShelfFile, call: VerbCall): Promise<Told> {
  const { folder, session } = await openGiven(call);
  const shelf = await file.read();
  const outing = outingOf(session, folder);
  const told = THING_KINDS.flatMap((of) =>
    thingsOf(session, of).map(({ id, name }) => {
      const standing = shelfStanding(session, shelf, of, id, outing);
      return { of, id, name, standing };
    }),
  );
  const value = told.map(({ of, id, name, standing }) => ({
    ...{ of, id, name, standing: standing.kind },
    ...(standing.kind === "known" && {
      ...{ shelfId: standing.entry.id, here: standing.here, onShelf: standing.there },
    }),
  }));
  return { value, text: told.map(standingWords).join("") };
}

async function away(file: ShelfFile, call: VerbCall, isAway: boolean): Promise<Told> {
  const id = given(call.options.id, "--id");
  const entry = entryOf(await setAway(file, id, isAway), id);
  return {
    value: { shelfId: id, putAwayAt: entry.putAwayAt },
    text: changeWords(isAway ? "Put away" : "Back on the shelf:", entry),
  };
}

function actionOf(word: string | undefined): Action {
  const action = ACTIONS.find((one) => one === (word ?? "list"));
  if (action === undefined) {
    throw new UsageError(`The shelf knows ${ACTIONS.join(", ")}; not "${word}".`);
  }
  return action;
}

function openGiven({ operands: [action, folder], terminal }: VerbCall) {
  if (folder === undefined) throw new UsageError(`"shelf ${action}" needs the FOLDER of an outing.`);
  return openFolderWithSession(terminal.cwd, folder);
}

function thingGiven(session: Session, options: VerbCall["options"]): { of: ThingKind; id: string } {
  const named = THING_KINDS.filter((of) => options[of] !== undefined);
  const [of] = named;
  if (of === undefined || named.length > 1) {
    throw new UsageError("Say what to keep with one of --launcher ID, --airframe ID and --camera ID.");
  }
  const id = String(options[of]);
  if (!thingsOf(session, of).some((one) => one.id === id)) throw noSuchThing(session, of, id);
  return { of, id };
}

function noSuchThing(session: Session, of: ThingKind, id: string): FaultError {
  const ids = thingsOf(session, of).map((one) => one.id);
  return new FaultError(
    "no-such-thing",
    `The session has no ${of} "${id}".`,
    ids.length === 0 ? `It has no ${of} at all: describe one first.` : `It has ${ids.join(", ")}.`,
  );
}

function entryOf(shelf: Shelf, id: string): ShelfEntry {
  const entry = shelf.entries.find((one) => one.id === id);
  if (entry === undefined) throw notOnShelf(id, shelf);
  return entry;
}

function given(option: string | boolean | undefined, name: string): string {
  if (typeof option !== "string" || option === "") {
    throw new UsageError(`Say which with ${name} ID; "loftmark shelf" lists them.`);
  }
  return option;
}

function listOf(option: string | boolean | undefined): readonly string[] {
  if (typeof option !== "string") return [];
  return option.split(",").flatMap((one) => (one.trim() === "" ? [] : [one.trim()]));
}

function outingOf({ title }: Session, folder: FieldFolder): string {
  return title || folder.name;
}
