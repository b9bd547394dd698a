import { expect, it } from "vitest";
import {
  CHOOSE,
  commandInCell,
  commandInEntry,
  movedPlace,
  OPEN,
} from "../../../src/renderer/day/day-keys.ts";

const press = (key: string, also = {}) => ({
  key,
  altKey: false,
  ctrlKey: false,
  metaKey: false,
  shiftKey: false,
  ...also,
});
const size = { rows: 4, columns: 7 };

it("moves a cell at a time, ten rows, or to the row's end, and stays in the table", () => {
  const from = { row: 1, column: 2 };
  const to = (key: string) => {
    const command = commandInCell(press(key), "name", true);
    return command?.kind === "go" ? movedPlace(from, command.by, size) : null;
  };
  expect([to("ArrowDown"), to("ArrowLeft"), to("PageDown"), to("PageUp"), to("Home"), to("End")]).toEqual([
    { row: 2, column: 2 },
    { row: 1, column: 1 },
    { row: 3, column: 2 },
    { row: 0, column: 2 },
    { row: 1, column: 0 },
    { row: 1, column: 6 },
  ]);
});

it("changes what can be changed by Enter, F2 or a character, and opens the shot from any other cell", () => {
  expect(commandInCell(press("Enter"), "pressure", true)).toEqual({ kind: "edit" });
  expect(commandInCell(press("F2"), "pressure", true)).toEqual({ kind: "edit" });
  expect(commandInCell(press("7"), "pressure", true)).toEqual({ kind: "type" });
  expect(commandInCell(press("7"), "release-speed", false)).toBeNull();
  expect(commandInCell(press("Enter"), "release-speed", false)).toEqual({ kind: "open" });
  expect(commandInCell(press("Enter"), OPEN, false)).toEqual({ kind: "open" });
});

it("chooses a row by Space in any cell, by Enter in its own", () => {
  expect(commandInCell(press(" "), "pressure", true)).toEqual({ kind: "choose" });
  expect(commandInCell(press("Enter"), CHOOSE, false)).toEqual({ kind: "choose" });
});

it("leaves keys with Control, Alt or Command to the window", () => {
  for (const also of [{ ctrlKey: true }, { altKey: true }, { metaKey: true }])
    expect(commandInCell(press("z", also), "name", true)).toBeNull();
});

it("goes on below after Enter in an entry, beside after the last Tab, and keeps all other keys there", () => {
  expect(commandInEntry(press("Enter"), false)).toEqual({ kind: "go", by: [1, 0] });
  expect(commandInEntry(press("Tab"), false)).toBeNull();
  expect(commandInEntry(press("Tab"), true)).toEqual({ kind: "go", by: [0, 1] });
  expect(commandInEntry(press("Tab", { shiftKey: true }), true)).toEqual({ kind: "go", by: [0, -1] });
  expect(commandInEntry(press("Escape"), false)).toEqual({ kind: "go", by: [0, 0] });
  expect(commandInEntry(press("ArrowLeft"), false)).toBeNull();
});
