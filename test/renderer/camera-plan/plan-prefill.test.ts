import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { planPrefill } from "../../../src/renderer/camera-plan/plan-prefill.ts";
import { CAMERA_PLAN_DEFAULTS, planInputFaults } from "../../../src/shared/camera-plan/plan-input.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";

it("takes everything as usual without a shot", () => {
  expect(planPrefill(freshSession("t"), null, null, null)).toEqual(CAMERA_PLAN_DEFAULTS);
});

it("takes rate, rod, picks and marks of a shot that is not measured yet", () => {
  const shot = {
    ...freshShot("shot-1", "one", null),
    clock: { kind: "capture-rate" as const, captureRateHz: { value: 500, u: 2 } },
    marks: [{ pointId: "nose", frame: 0, x: 1, y: 1, u: 0.7, by: "hand" as const }],
  };
  const input = planPrefill({ ...freshSession("t"), shots: [shot] }, shot, null, null);
  expect(input).toMatchObject({ captureRateHz: { value: 500, u: 2 }, markPx: 0.7, points: 2 });
  expect(input.shot).toEqual(CAMERA_PLAN_DEFAULTS.shot);
});

it("takes the measured shot for the expected one, and every number can be planned with", () => {
  const session = exampleSession(1);
  const [shot] = session.shots;
  const { measurement } = measureShot(session, shot!.id, null);
  const facts = { width: 1920, height: 1080 } as ClipFacts;
  const input = planPrefill(session, shot!, measurement, facts);
  expect(planInputFaults(input)).toEqual([]);
  const { releaseSpeed, stroke } = measurement!.quantities;
  expect(input.shot.speedMPerS / releaseSpeed!.value).toBeCloseTo(1, 2);
  expect(input.shot.strokeM / stroke!.value).toBeCloseTo(1, 2);
  expect(input.lens).toEqual({
    by: "field",
    fieldM: Number((measurement!.scale.value * 1920).toPrecision(3)),
  });
  // The example's targets are 0.37 m apart; the marks of one frame say it to a pixel of 1.4 mm.
  expect(Math.abs(input.spacingM - 0.37)).toBeLessThan(0.003);
  expect(input.restFrames).toBeGreaterThan(5);
  expect(input.exposureS).toBeLessThanOrEqual(1 / input.captureRateHz.value);
});
