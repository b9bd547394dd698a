import { expect, it } from "vitest";
import { NO_PICKS } from "../../../src/renderer/app-state/picked-so-far.ts";
import { handleNear, handlesOf } from "../../../src/renderer/frame/handles.ts";
import { freshShot } from "../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const shot: Shot = {
  ...freshShot("shot-1", "one", "a.mp4"),
  scale: { a: [10, 20], b: [300, 20], uPx: 0.5, rodM: { value: 1, u: 0.001 } },
  marks: [
    { pointId: "nose", frame: 3, x: 100, y: 100, u: 0.5, by: "hand" },
    { pointId: "tail", frame: 3, x: 104, y: 100, u: 0.5, by: "hand" },
    { pointId: "nose", frame: 4, x: 110, y: 100, u: 0.5, by: "hand" },
  ],
};

it("offers the frame's marks, or the ends of rod and plumb in the step of the scale", () => {
  expect(handlesOf(shot, NO_PICKS, 3, "marks").map(({ handle }) => handle)).toEqual([
    { kind: "mark", pointId: "nose" },
    { kind: "mark", pointId: "tail" },
  ]);
  expect(handlesOf(shot, NO_PICKS, 3, "scale").map(({ at }) => at)).toEqual([
    [10, 20],
    [300, 20],
  ]);
});

it("finds the nearest handle within reach, measured on the screen", () => {
  const handles = handlesOf(shot, NO_PICKS, 3, "marks");
  const viewport = { scale: 2, x: 0, y: 0 };
  expect(handleNear(handles, viewport, [206, 200], 12)?.handle).toEqual({ kind: "mark", pointId: "tail" });
  expect(handleNear(handles, viewport, [201, 200], 12)?.handle).toEqual({ kind: "mark", pointId: "nose" });
  expect(handleNear(handles, viewport, [187, 200], 12)).toBeNull();
});
