import { expect, it } from "vitest";
import { handMarksWithU } from "../../../../src/renderer/ledger/marks/hand-marks-with-u.ts";
import { applyEdit } from "../../../../src/shared/session/edits.ts";
import { freshShot } from "../../../../src/shared/session/fresh.ts";
import type { Mark } from "../../../../src/shared/session/schema.ts";
import { sampleSession } from "../../../shared/session/sample-session.ts";

const marks = Array.from({ length: 2000 }, (_, i): Mark => {
  return {
    pointId: i % 2 === 0 ? "nose" : "tail",
    frame: i >> 1,
    x: i,
    y: 1,
    u: 0.5,
    by: i < 9 ? "follower" : "hand",
  };
});

it("changes the ± of every mark placed by hand by one edit, and of no followed one", () => {
  const session = { ...sampleSession(), shots: [{ ...freshShot("shot-1", "one", null), marks }] };
  const edit = handMarksWithU(session.shots[0]!, 0.8);
  const after = applyEdit(session, edit!).shots[0]!.marks;
  expect(after.filter(({ u }) => u === 0.8).every(({ by }) => by === "hand")).toBe(true);
  expect(after.filter(({ by, u }) => by === "follower" && u === 0.5).length).toBe(9);
  expect(after.filter(({ u }) => u === 0.8).length).toBe(1991);
});

it("is no edit when all have it already", () => {
  expect(handMarksWithU({ ...freshShot("shot-1", "one", null), marks }, 0.5)).toBeNull();
});
