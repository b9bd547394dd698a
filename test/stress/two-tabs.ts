import { mkdir, mkdtemp, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createFolderHost, type FolderHost } from "../../src/main/host/folder-host.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { sessionText } from "../../src/main/store/session-text.ts";
import { sessionOf } from "../../src/renderer/app-state/app-state.ts";
import { freshSession, freshShot } from "../../src/shared/session/fresh.ts";
import { sameJson } from "../../src/shared/session/patch.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import fc from "../support/drawn-inputs.ts";
import { paperMedia } from "../support/paper-media.ts";
import { openTab, type Tab } from "./simulated-page.ts";

/**
 * Several tabs of one host on several folders, every mix of opening, editing, undoing, saving, reloading,
 * conflicting and closing, with saves under way: each folder holds what its tabs were told is saved there,
 * and never a document, or a part of one, of another folder. What a tab writes bears the name of the
 * folder that its window shows.
 */
const FOLDERS = ["A", "B", "C"] as const;
const TABS = 3;

type Command =
  | { readonly do: "open"; readonly tab: number; readonly folder: number }
  | { readonly do: "title" | "shot" | "undo" | "redo" | "save" | "reload" | "close"; readonly tab: number }
  | { readonly do: "ring"; readonly tab: number }
  | { readonly do: "settle" }
  | { readonly do: "conflict"; readonly tab: number; readonly keep: "mine" | "theirs" };

const tab = fc.nat({ max: TABS - 1 });
const simple = (...kinds: ("title" | "shot" | "undo" | "redo" | "save" | "reload" | "close")[]) =>
  fc.record({ do: fc.constantFrom(...kinds), tab });

const command: fc.Arbitrary<Command> = fc.oneof(
  { weight: 4, arbitrary: fc.record({ do: fc.constant("open" as const), tab, folder: fc.nat({ max: 2 }) }) },
  { weight: 8, arbitrary: simple("title", "shot") },
  { weight: 4, arbitrary: simple("undo", "redo") },
  { weight: 8, arbitrary: fc.record({ do: fc.constant("ring" as const), tab }) },
  { weight: 3, arbitrary: simple("save") },
  { weight: 6, arbitrary: fc.record({ do: fc.constant("settle" as const) }) },
  { weight: 2, arbitrary: simple("reload") },
  { weight: 1, arbitrary: simple("close") },
  {
    weight: 3,
    arbitrary: fc.record({
      do: fc.constant("conflict" as const),
      tab,
      keep: fc.constantFrom("mine" as const, "theirs" as const),
    }),
  },
);

/** Two windows save at once, and the second takes what the first saved. */
const THEIRS_TAKEN: Command[] = [
  ...[1, 0].flatMap((tab): Command[] => [
    { do: "title", tab },
    { do: "ring", tab },
  ]),
  { do: "settle" },
  { do: "conflict", tab: 0, keep: "theirs" },
];

/** Two saves asked for while one is under way, and an edit made while the first of them is. */
const TWO_WAIT: Command[] = [
  { do: "title", tab: 1 },
  { do: "ring", tab: 1 },
  { do: "save", tab: 1 },
  { do: "undo", tab: 1 },
  { do: "ring", tab: 1 },
  { do: "reload", tab: 0 },
  { do: "title", tab: 1 },
  { do: "settle" },
];

interface Field {
  readonly host: FolderHost;
  readonly paths: readonly string[];
  readonly tabs: (Tab | null)[];
  /** By the folder's path: the documents that a window said were saved, in order. */
  readonly told: Map<string, Session[]>;
  words: number;
  /** How many conflicts were settled. */
  conflicts: number;
}

export interface StressOptions {
  readonly seed: number;
  readonly long: boolean;
  readonly out: (text: string) => void;
}

/**
 * @returns whether every run held; what broke is written with the seed and the
 *   shortest commands that break it
 */
export async function run({ seed, long, out }: StressOptions): Promise<boolean> {
  const root = await realpath(await mkdtemp(join(tmpdir(), "loftmark tabs ")));
  let count = 0;
  let saves = 0;
  let conflicts = 0;
  try {
    const commands = fc.array(command, { minLength: 5, maxLength: long ? 80 : 40, size: "max" });
    const property = fc.asyncProperty(commands, async (list) => {
      const field = await setOut(join(root, String(count++)));
      try {
        for (const one of list) await perform(field, one);
        await rest(field);
        await check(field);
        conflicts += field.conflicts;
        saves += [...field.told.values()].reduce((sum, documents) => sum + documents.length, 0);
      } finally {
        await field.host.close();
      }
    });
    const details = await fc.check(property, {
      seed,
      numRuns: long ? 3000 : 25,
      examples: [[THEIRS_TAKEN], [TWO_WAIT]],
    });
    if (details.failed) out(`${fc.defaultReportMessage(details)}\n${String(details.errorInstance)}\n`);
    else {
      out(
        `two tabs: ${details.numRuns} runs with seed ${seed}, ${saves} saves told, ${conflicts} conflicts settled\n`,
      );
    }
    return !details.failed && saves > 0;
  } finally {
    await rm(root, { recursive: true, force: true });
  }
}

/** Three folders with a document each, a host on the first, two tabs at its plain address. */
async function setOut(root: string): Promise<Field> {
  const paths: string[] = [];
  for (const name of FOLDERS) {
    const path = join(root, name);
    await mkdir(path, { recursive: true });
    await writeFile(join(path, "loftmark.json"), sessionText(freshSession(`${name} 0`)));
    paths.push(path);
  }
  const host = await createFolderHost({
    folder: paths[0]!,
    host: "loopback",
    canPickFolder: false,
    media: paperMedia().media,
    cacheDir: join(root, "cache"),
    rendererDir: join(root, "no page"),
  });
  const field: Field = { host, paths, tabs: [], told: new Map(), words: 0, conflicts: 0 };
  for (let i = 0; i < TABS; i++) field.tabs.push(i < 2 ? await newTab(field) : null);
  return field;
}

function newTab(field: Field): Promise<Tab> {
  return openTab(field.host, (folder, document) => {
    field.told.set(folder, [...(field.told.get(folder) ?? []), document]);
  });
}

async function perform(field: Field, one: Command): Promise<void> {
  if (one.do === "settle") return settle(field);
  const there = field.tabs[one.tab] ?? null;
  if (there === null || one.do === "open") {
    const opened = there ?? (await newTab(field));
    field.tabs[one.tab] = opened;
    if (one.do === "open") await opened.openFolder(field.paths[one.folder]!);
    return;
  }
  const { actions } = there;
  switch (one.do) {
    case "title":
      actions().change({ kind: "set-title", title: `${nameOf(there)} ${++field.words}` });
      break;
    case "shot": {
      const id = `shot-${++field.words}`;
      actions().change({ kind: "add-shot", shot: freshShot(id, `${nameOf(there)} ${field.words}`, null) });
      break;
    }
    case "undo":
      actions().undo();
      break;
    case "redo":
      actions().redo();
      break;
    case "save":
      void actions().saveNow();
      break;
    case "ring":
      there.ring();
      break;
    case "reload":
      await there.reload();
      break;
    case "close":
      await there.close();
      await there.settled();
      field.tabs[one.tab] = null;
      break;
    case "conflict":
      if (isInConflict(there)) await settleConflict(field, there, one.keep);
      break;
  }
}

/** What the window says the folder is called: what a person goes by when they type into it. */
function nameOf({ actions }: Tab): string {
  return actions().store.get().folderName;
}

function isInConflict({ actions }: Tab): boolean {
  return actions().store.get().save.status === "conflict";
}

async function settleConflict(field: Field, { actions }: Tab, keep: "mine" | "theirs"): Promise<void> {
  field.conflicts++;
  await actions().settleConflict(keep);
}

async function settle({ tabs }: Field): Promise<void> {
  for (const one of tabs) await one?.settled();
}

/** Until every tab says that it has saved: timers run, conflicts are settled in favour of the window. */
async function rest(field: Field): Promise<void> {
  for (let round = 0; round < 20; round++) {
    await settle(field);
    const busy = field.tabs.filter(
      (one) => one !== null && one.actions().store.get().save.status !== "saved",
    );
    if (busy.length === 0) return;
    for (const one of busy) {
      if (isInConflict(one!)) await settleConflict(field, one!, "mine");
      else one!.ring();
      await one!.settled();
    }
  }
  throw new Error("the tabs do not come to rest");
}

async function check(field: Field): Promise<void> {
  for (const [i, path] of field.paths.entries()) {
    const name = FOLDERS[i]!;
    const opened = await createSessionFile(await openFieldFolder(path)).read();
    const foreign = words(opened.session).filter((word) => !word.startsWith(`${name} `));
    if (foreign.length > 0) throw new Error(`${name} holds what was typed elsewhere: ${foreign.join(", ")}`);
    const last = field.told.get(path)?.at(-1);
    if (last !== undefined && !same(last, opened.session)) {
      throw new Error(`${name} holds ${words(opened.session)}, but the last told saved was ${words(last)}`);
    }
    for (const told of field.told.get(path) ?? []) {
      const others = words(told).filter((word) => !word.startsWith(`${name} `));
      if (others.length > 0) throw new Error(`a window on ${name} said that it saved ${others.join(", ")}`);
    }
  }
  for (const one of field.tabs) {
    if (one === null) continue;
    const shown = one.folder();
    if (shown === null) throw new Error("a tab shows no folder");
    const foreign = words(sessionOf(one.actions().store.get())).filter(
      (word) => !word.startsWith(nameOf(one)),
    );
    if (foreign.length > 0) throw new Error(`the window on ${nameOf(one)} shows ${foreign.join(", ")}`);
  }
}

/** Everything in a document that a person typed. */
function words({ title, shots }: Session): string[] {
  return [title, ...shots.map(({ name }) => name)];
}

/** The same document, whatever the order of its keys. */
function same(a: Session, b: Session): boolean {
  return sameJson(a, b);
}
