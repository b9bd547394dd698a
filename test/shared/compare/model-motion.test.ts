import { expect, it } from "vitest";
import { type ModelMotion, modelStateAt } from "../../../src/shared/compare/model-motion.ts";

/** x = 3 t² + 40 t³ until 0.2 s, in ten steps. */
const timeS = Array.from({ length: 11 }, (_, i) => 0.02 * i);
const motion: ModelMotion = {
  timeS,
  position: timeS.map((t) => 3 * t ** 2 + 40 * t ** 3),
  speed: timeS.map((t) => 6 * t + 120 * t ** 2),
  acceleration: timeS.map((t) => 6 + 240 * t),
};

it("modelStateAt is exact for a cubic between its samples", () => {
  for (const t of [0.001, 0.02, 0.0731, 0.1999]) {
    const { position, speed, acceleration } = modelStateAt(motion, t);
    expect(position).toBeCloseTo(3 * t ** 2 + 40 * t ** 3, 14);
    expect(speed).toBeCloseTo(6 * t + 120 * t ** 2, 12);
    expect(acceleration).toBeCloseTo(6 + 240 * t, 11);
  }
});

it("modelStateAt rests before the model's time 0 and goes on at the last acceleration after its end", () => {
  expect(modelStateAt(motion, -1)).toEqual({ position: 0, speed: 0, acceleration: 0 });
  // x = 0.44, v = 6, a = 54 at 0.2 s, by hand
  const { position, speed, acceleration } = modelStateAt(motion, 0.3);
  expect(position).toBeCloseTo(0.44 + 0.6 + 0.27, 12);
  expect(speed).toBeCloseTo(6 + 5.4, 12);
  expect(acceleration).toBeCloseTo(54, 12);
});
