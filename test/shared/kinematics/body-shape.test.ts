import { describe, expect, it } from "vitest";
import { bodyShape, byFrame, type PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";

/**
 * A body with three points, the centre of gravity 0.17 m behind the nose and 4 mm below the
 * line; seen in twelve poses.
 */
const BODY = [
  [0.17, 0.004],
  [-0.21, 0.004],
  [-0.05, 0.09],
] as const;
const AXIS = { forward: 0, aft: 1, alongM: 0.17, aboveM: -0.004 };
const marks = Array.from({ length: 12 }, (_, frame) => {
  const [x, y, angle] = [0.3 * frame, 0.1 * frame, 0.3 + 0.05 * frame];
  return BODY.map(
    ([forward, up], point): PlaneMark => ({
      point,
      frame,
      timeS: frame / 960,
      x: x + Math.cos(angle) * forward - Math.sin(angle) * up,
      y: y + Math.sin(angle) * forward + Math.cos(angle) * up,
      u: 1e-3,
    }),
  );
}).flat();

describe("bodyShape", () => {
  it("recovers exact places from exact marks, the third point included", () => {
    const shape = bodyShape(byFrame(marks), AXIS)!;
    BODY.forEach(([forward, up], point) => {
      expect(shape.get(point)![0]).toBeCloseTo(forward, 10);
      expect(shape.get(point)![1]).toBeCloseTo(up, 10);
    });
  });

  it("is the same whatever frames miss the third point", () => {
    const some = marks.filter((mark) => mark.point !== 2 || mark.frame % 4 === 0);
    expect(bodyShape(byFrame(some), AXIS)!.get(2)![1]).toBeCloseTo(0.09, 10);
  });

  it("gives null when no frame shows both ends of the axis", () => {
    expect(bodyShape(byFrame(marks.filter((mark) => mark.point !== 1)), AXIS)).toBeNull();
  });
});
