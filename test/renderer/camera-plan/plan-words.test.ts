import { expect, it } from "vitest";
import { changeText, faultSays, seenSays } from "../../../src/renderer/camera-plan/plan-words.ts";
import { CAMERA_PLAN_DEFAULTS } from "../../../src/shared/camera-plan/plan-input.ts";
import type { SeenOfShot } from "../../../src/shared/camera-plan/plan-notices.ts";

const seen = {
  fieldM: [2.5, 1.40625],
  scaleMPerPx: 2.5 / 1920,
  blurPx: 4.99,
  pushS: 0.1012,
  framesInPush: 24,
  flightFramesMarked: 1,
} as unknown as SeenOfShot;

it("words what is seen, in the person's units", () => {
  expect(seenSays(seen, CAMERA_PLAN_DEFAULTS, "SI")).toBe(
    "The push lasts 101 ms and shows in 24 frames, with one frame after release to mark. The picture holds 2.50 × 1.41 m, 1.30 mm a pixel; at release the airframe smears over 5.0 px in 1/2000 s.",
  );
  expect(seenSays(seen, CAMERA_PLAN_DEFAULTS, "field")).toContain("8.20 × 4.61 ft");
});

it("words a change with its sign, and hardly any as a dot", () => {
  expect([0.254, -0.11, 0.003].map(changeText)).toEqual(["−25\u00a0%", "+11\u00a0%", "·"]);
});

it("names what must be typed otherwise by its label", () => {
  const fault = { field: "points", value: 1, needed: "a whole number from 2 to 12" } as const;
  expect(faultSays(fault, { points: "Points" })).toBe("“Points” must be a whole number from 2 to 12.");
});
