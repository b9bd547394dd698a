import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { CAMERA_PLAN_DEFAULTS, type CameraPlanInput } from "../../../src/shared/camera-plan/plan-input.ts";
import { PLANNED_SHOT_ID, plannedSession } from "../../../src/shared/camera-plan/planned-shot.ts";
import { plannedView } from "../../../src/shared/camera-plan/planned-view.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";

const LONG_FLIGHT: CameraPlanInput = {
  ...CAMERA_PLAN_DEFAULTS,
  captureRateHz: { value: 480, u: 0.5 },
  lens: { by: "field", fieldM: 4 },
  flightFrames: 60,
};

/** A shot that flies as a stone does, its capture rate and its rod typed by so much too large. */
function ballistic(seed: number, rateBy = 1, rodBy = 1, plan = LONG_FLIGHT): Session {
  const motion = unwrap(expectedMotion(plan.shot));
  const session = plannedSession(plan, motion, plannedView(plan, motion), seed, "marks");
  const shots = session.shots.map((shot) => ({
    ...shot,
    clock: { kind: "capture-rate", captureRateHz: { value: 480 * rateBy, u: 0.5 } } as const,
    scale: { ...shot.scale!, rodM: { ...shot.scale!.rodM, value: shot.scale!.rodM.value * rodBy } },
  }));
  return { ...session, shots };
}

function bendOf(session: Session, id = PLANNED_SHOT_ID) {
  const { measurement, notices } = measureShot(session, id, null);
  const warned = notices.some(({ code }) => code === ofShot("flight-bends-more"));
  return { bend: measurement!.flightBend, warned };
}

describe("the bend of a flight against gravity's", () => {
  it("is 1 within its u where nothing but gravity acts, over seeds", () => {
    const all = [1, 2, 3, 4, 5, 6].map((seed) => bendOf(ballistic(seed)));
    const z = all.map(({ bend }) => (bend!.value - 1) / bend!.u);
    expect(Math.max(...z.map(Math.abs))).toBeLessThan(3);
    expect(all.some(({ warned }) => warned)).toBe(false);
  });

  it("goes with the square of the rate and with the rod, and warns of what nothing could bend so", () => {
    const plain = bendOf(ballistic(2)).bend!;
    const fast = bendOf(ballistic(2, 1.1));
    expect(fast.bend!.value / plain.value).toBeCloseTo(1.21, 2);
    expect(fast.warned).toBe(true);
    const long = bendOf(ballistic(2, 1, 1.15));
    expect(long.bend!.value / plain.value).toBeCloseTo(1.15, 2);
    expect(long.warned).toBe(true);
  });

  it("is less, and no reason to warn, where wings carry: the example's airframe flies", () => {
    const { bend, warned } = bendOf(exampleSession(1), exampleSession(1).shots[0]!.id);
    expect(Math.abs(bend!.value)).toBeLessThan(0.3);
    expect(warned).toBe(false);
  });

  it("is left out of a short flight and of a steep one, where it could not tell", () => {
    expect(bendOf(ballistic(1, 1, 1, { ...LONG_FLIGHT, flightFrames: 12 })).bend).toBeUndefined();
    const steep = { ...LONG_FLIGHT, shot: { ...LONG_FLIGHT.shot, angleRad: 1.2 } };
    expect(bendOf(ballistic(1, 1, 1, steep)).bend).toBeUndefined();
  });
});
