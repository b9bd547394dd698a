import type { ThingKind } from "../../shared/session/shelf-schemas.ts";
import { offered } from "../../shared/shelf/change-shelf.ts";
import type { Difference, ShelfStanding } from "../../shared/shelf/compare-things.ts";
import { nameOf, newest, type Shelf, type ShelfEntry } from "../../shared/shelf/shelf-schema.ts";
import { table } from "./table.ts";

/** What is on the shelf, a line each; then what was put away. */
export function listWords(shelf: Shelf): string {
  const there = offered(shelf);
  const away = shelf.entries.filter((one) => !there.includes(one));
  if (shelf.entries.length === 0) {
    return "The shelf is empty. Keep something on it with: loftmark shelf keep FOLDER --launcher ID\n";
  }
  const part = (title: string, list: readonly ShelfEntry[]) =>
    list.length === 0 ? "" : `${title}\n${table(list.map(lineOf))}`;
  return `${part("On the shelf", there)}${part("Put away", away)}`;
}

function lineOf(entry: ShelfEntry): readonly string[] {
  const { thing, outing, at, edition } = newest(entry);
  const tuned =
    thing.of === "launcher" && thing.tuning !== null ? `tuned in ${thing.tuning.from.outing}` : "";
  return [
    entry.id,
    thing.of,
    nameOf(thing),
    `kept ${at.slice(0, 10)} from ${outing}`,
    `edition ${edition}`,
    tuned,
  ];
}

/** @param more after its name */
export function changeWords(what: string, entry: ShelfEntry, more = ""): string {
  const { thing, edition } = newest(entry);
  return `${what} ${nameOf(thing)} (${entry.id}, edition ${edition})${more}\n`;
}

/** How one thing of a session stands to the shelf. */
export function standingWords(one: {
  readonly of: ThingKind;
  readonly id: string;
  readonly name: string;
  readonly standing: ShelfStanding;
}): string {
  const { of, id, name, standing } = one;
  const head = `${of} ${name === "" ? id : `${name} (${id})`}`;
  if (standing.kind === "new") return `${head}: not on the shelf\n`;
  if (standing.kind === "elsewhere") return `${head}: on another shelf than this one\n`;
  const { here, there } = standing;
  if (here.length + there.length === 0) return `${head}: as on the shelf\n`;
  return [
    `${head}\n`,
    changed("changed here since it was taken or kept", here, ["here"]),
    changed("changed on the shelf since", there, ["on the shelf"]),
  ].join("");
}

function changed(title: string, list: readonly Difference[], [now]: readonly [string]): string {
  if (list.length === 0) return "";
  const rows = list.map(({ words, before, after }) => [words, before, after]);
  return `  ${title}\n${table([["", "then", now], ...rows], "    ")}`;
}
