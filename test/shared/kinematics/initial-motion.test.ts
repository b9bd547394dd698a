import { describe, expect, it } from "vitest";
import { bodyShape, byFrame, type PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { initialMotion } from "../../../src/shared/kinematics/initial-motion.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { PUSH_AXIS, simulatedPush } from "./simulated-push.ts";

const FILMING = {
  corners: [
    [0, 0],
    [0.02, 190],
    [0.08, 60],
  ],
  rateHz: 240,
  noiseM: 0.5e-3,
  points: 2,
  restFrames: 7,
  flightFrames: 14,
} as const;

function looked(marks: readonly PlaneMark[]) {
  const frames = byFrame(marks);
  return unwrap(initialMotion(frames, bodyShape(frames, PUSH_AXIS)!));
}

describe("initialMotion", () => {
  it("sees the rest in frames with a single mark too: 30 % of the marks missing hide it in no shot of 60", () => {
    let hidden = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const { marks, truth } = simulatedPush({ ...FILMING, seed });
      const chance = createChance(1000 + seed);
      const first = looked(marks.filter(() => chance.uniform() > 0.3));
      if (!first.atRest) hidden++;
      else expect(first.startRange[0]).toBeLessThanOrEqual(truth.startS);
    }
    expect(hidden).toBe(0);
  });

  it("sees no rest where the first frames move", () => {
    for (let seed = 1; seed <= 10; seed++) {
      const { marks, truth } = simulatedPush({ ...FILMING, seed });
      const late = marks.filter(({ timeS }) => timeS > truth.startS + 0.01);
      expect(looked(late)).toMatchObject({ atRest: false });
    }
  });
});
