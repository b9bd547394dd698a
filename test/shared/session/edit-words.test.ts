import { expect, it } from "vitest";
import { wordsOfEdit } from "../../../src/shared/session/edit-words.ts";
import type { Edit } from "../../../src/shared/session/edits.ts";
import fc from "../../support/drawn-inputs.ts";
import { anyEdit, mark, sampleSession } from "./sample-session.ts";

it.each<[Edit, string, string | null, number | null]>([
  [
    { kind: "set-mark", shotId: "shot-1", mark: mark("nose", 9, 1, 2) },
    "Marked the nose in frame 9 of first shot",
    "marks",
    9,
  ],
  [
    { kind: "set-mark", shotId: "shot-1", mark: mark("nose", 3, 1, 2) },
    "Moved the nose in frame 3 of first shot",
    "marks",
    3,
  ],
  [
    { kind: "set-mark", shotId: "shot-1", mark: { ...mark("nose", 3, 310.2, 402.1), u: 1 } },
    "Changed the ± of the nose in frame 3 of first shot",
    "marks",
    3,
  ],
  [
    {
      kind: "set-marks",
      shotId: "shot-1",
      marks: sampleSession().shots[0]!.marks.map((one) => ({ ...one, u: 0.7 })),
    },
    "Changed the ± of 3 marks in first shot",
    "marks",
    3,
  ],
  [
    {
      kind: "set-marks",
      shotId: "shot-1",
      marks: [8, 7].map((f) => ({ ...mark("tail", f, 1, 1), by: "follower" })),
    },
    "Followed the tail in first shot: 2 marks",
    "marks",
    7,
  ],
  [
    { kind: "swap-marks", shotId: "shot-1", swaps: [{ frame: 3, pointIds: ["nose", "tail"] }] },
    "Swapped nose and tail in frame 3 of first shot",
    "marks",
    3,
  ],
  [
    { kind: "update-shot", shotId: "shot-1", patch: { plumb: null } },
    "Changed the plumb of first shot",
    "scale",
    null,
  ],
  [
    { kind: "update-shot", shotId: "shot-1", patch: { name: "B" } },
    'Renamed first shot to "B"',
    "clip",
    null,
  ],
  [{ kind: "remove-launcher", launcherId: "launcher-1" }, "Removed the launcher", "model", null],
])("says what %j does and where it is seen", (edit, says, heading, frame) => {
  const words = wordsOfEdit(edit, sampleSession());
  expect(words.says).toBe(says);
  expect([words.place.heading, words.place.frame]).toEqual([heading, frame]);
});

it("has words for every edit, none of them an identifier of the document", () => {
  fc.assert(
    fc.property(anyEdit, (edit) => {
      const { says } = wordsOfEdit(edit, sampleSession());
      expect(says).toMatch(/^[A-Z]/);
      const ours = says.replace(/".*"/s, '""'); // between the marks stands what the person wrote
      expect(ours).not.toMatch(/undefined|shot-\d|Id\b|MPerS|\bKg\b/);
    }),
  );
});
