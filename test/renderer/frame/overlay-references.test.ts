import { expect, it } from "vitest";
import { type ReferencesInput, referencePlan } from "../../../src/renderer/frame/overlay-references.ts";

const bare: ReferencesInput = {
  viewport: { scale: 2, x: 10, y: 20 },
  rods: [],
  level: null,
  control: [],
  lines: [],
  first: null,
  selected: null,
  showEnds: false,
};
const keys = (input: ReferencesInput) => referencePlan(input).map(({ key }) => key);

it("draws nothing without references", () => {
  expect(referencePlan(bare)).toEqual([]);
});

it("draws every rod with its length, its ends to grab in the step of the scale", () => {
  const rods = [{ a: [0, 0], b: [100, 0], text: "1 m" } as const];
  expect(keys({ ...bare, rods })).toEqual(["rod-0", "rod-0-label"]);
  expect(keys({ ...bare, rods, showEnds: true })).toEqual(["rod-0", "rod-0-label", "rod-0-a", "rod-0-b"]);
  expect(keys({ ...bare, rods, selected: { kind: "rod", at: 0, end: "b" } })).toContain("rod-0-b");
});

it("numbers the known points as the ledger does, and shows the chosen one", () => {
  const control = [
    [5, 5],
    [50, 40],
  ] as const;
  const plan = referencePlan({ ...bare, control, selected: { kind: "control", at: 1 } });
  expect(plan.filter(({ kind }) => kind === "label")).toMatchObject([
    { text: "1", at: [34, 16], tone: "scale" },
    { text: "2", at: [124, 86], tone: "chosen" },
  ]);
});

it("draws lines for the lens only in the step of the scale", () => {
  const lines = [
    [
      [0, 0],
      [10, 10],
    ],
    [],
  ] as const;
  expect(keys({ ...bare, lines })).toEqual([]);
  expect(keys({ ...bare, lines, showEnds: true })).toEqual(["straight-0", "straight-0-points"]);
});

it("draws the level, and the first end of what is being picked", () => {
  const level = { left: [0, 100], right: [200, 101] } as const;
  expect(keys({ ...bare, level, first: [3, 3] })).toEqual(["level", "level-label", "first"]);
});
