import { expect, it } from "vitest";
import { commandFor } from "../../../src/renderer/actions/keys.ts";

const press = (key: string, held: { alt?: true; ctrl?: true; meta?: true; shift?: true } = {}) =>
  commandFor({
    key,
    altKey: held.alt === true,
    ctrlKey: held.ctrl === true,
    metaKey: held.meta === true,
    shiftKey: held.shift === true,
  });

it("steps frames with the arrows, ten with Shift", () => {
  expect(press("ArrowRight")).toEqual({ kind: "step", by: 1 });
  expect(press("ArrowLeft", { shift: true })).toEqual({ kind: "step", by: -10 });
  expect(press("ArrowUp")).toBeNull();
});

it("nudges by 0.1 px with Alt, 1 px with Shift too, y down", () => {
  expect(press("ArrowUp", { alt: true })).toEqual({ kind: "nudge", dx: 0, dy: -0.1 });
  expect(press("ArrowRight", { alt: true, shift: true })).toEqual({ kind: "nudge", dx: 1, dy: 0 });
});

it("nudges by 10 px with Ctrl and Shift, and moves the view with Ctrl alone", () => {
  expect(press("ArrowLeft", { ctrl: true, shift: true })).toEqual({ kind: "nudge", dx: -10, dy: 0 });
  expect(press("ArrowDown", { ctrl: true })).toEqual({ kind: "pan", x: 0, y: 1 });
  expect(press("ArrowDown", { ctrl: true, alt: true })).toBeNull();
});

it("undoes and redoes with Ctrl or the Mac's command key", () => {
  expect(press("z", { ctrl: true })).toEqual({ kind: "undo" });
  expect(press("Z", { meta: true, shift: true })).toEqual({ kind: "redo" });
  expect(press("y", { ctrl: true })).toEqual({ kind: "redo" });
  expect(press("r", { ctrl: true })).toBeNull();
});

it("follows the point onwards on F, backwards on Shift+F", () => {
  expect([press("f"), press("F", { shift: true })]).toEqual([
    { kind: "follow", back: false },
    { kind: "follow", back: true },
  ]);
  expect([press("f", { ctrl: true }), press("f", { alt: true })]).toEqual([null, null]);
});

it("chooses points by digit, zooms, goes to the ends, removes, places, cancels", () => {
  expect(press("3")).toEqual({ kind: "choose-point", index: 2 });
  expect(press("0")).toEqual({ kind: "fit" });
  expect([press("+"), press("-")]).toEqual([
    { kind: "zoom", by: 1 },
    { kind: "zoom", by: -1 },
  ]);
  expect([press("Home"), press("End")]).toEqual([
    { kind: "go", to: "first" },
    { kind: "go", to: "last" },
  ]);
  expect(["Delete", "Enter", "Escape", "?"].map((key) => press(key)?.kind)).toEqual([
    "remove",
    "place",
    "cancel",
    "keys",
  ]);
  expect([press("l"), press("L", { shift: true })]).toEqual([{ kind: "lamp" }, { kind: "lamp" }]);
  expect([press("a"), press("A", { shift: true })]).toEqual([{ kind: "follow-all" }, { kind: "follow-all" }]);
  expect(press("b")).toBeNull();
  expect([press("Enter"), press("Enter", { shift: true })]).toEqual([
    { kind: "place", byHand: false },
    { kind: "place", byHand: true },
  ]);
  expect([press("p"), press("P", { shift: true })]).toEqual([
    { kind: "light", by: 1 },
    { kind: "light", by: -1 },
  ]);
});
