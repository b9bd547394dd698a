import { describe, expect, it } from "vitest";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { CAMERA_PLAN_DEFAULTS, type CameraPlanInput } from "../../../src/shared/camera-plan/plan-input.ts";
import { plannedView, pointsOnBody } from "../../../src/shared/camera-plan/planned-view.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const withField = (fieldM: number, patch: Partial<CameraPlanInput> = {}): CameraPlanInput => ({
  ...CAMERA_PLAN_DEFAULTS,
  lens: { by: "field", fieldM },
  ...patch,
});
const seen = (input: CameraPlanInput) => plannedView(input, unwrap(expectedMotion(input.shot)));

describe("plannedView", () => {
  it("takes the field in metres, or from the angle of view and the distance", () => {
    const view = seen(withField(2.4));
    expect(view.scaleMPerPx).toBeCloseTo(2.4 / 1920, 12);
    expect(view.fieldM[1]).toBeCloseTo((2.4 * 1080) / 1920, 12);
    // 2 · 5 m · tan 15°
    const byAngle = seen({ ...withField(1), lens: { by: "angle", fieldRad: Math.PI / 6 } });
    expect(byAngle.fieldM[0]).toBeCloseTo(10 * Math.tan(Math.PI / 12), 12);
  });

  it("puts what moves forward to the right and what rises higher up, a pixel being the scale", () => {
    const view = seen(withField(2.4));
    const [[x0, y0], [x1, y1]] = [view.pixelOf([0, 0]), view.pixelOf([0.5, 0.25])];
    expect(x1 - x0).toBeCloseTo(400, 9);
    expect(y1 - y0).toBeCloseTo(-200, 9);
  });

  it("aims so that a level flight crosses the middle, where push and flight fit up and down", () => {
    const level = withField(3, { shot: { ...CAMERA_PLAN_DEFAULTS.shot, angleRad: 0, pitchRateRadPerS: 0 } });
    // It falls g T²/2 = 3 cm or so while it is looked at, 20 px: the middle lies less than
    // half of that below the axis.
    const [, y] = seen(level).pixelOf([0, 0]);
    expect(Math.abs(y - 1080 / 2)).toBeLessThan(20);
  });

  it("counts the frames of flight by hand: level, at v T a frame from the release place to the edge", () => {
    const level = withField(3, { shot: { ...CAMERA_PLAN_DEFAULTS.shot, angleRad: 0, pitchRateRadPerS: 0 } });
    const view = seen(level);
    expect(view.pushFits).toBe(true);
    // The foremost point starts 5 % of 3 m and the whole spacing from the left, and
    // has gone 0.8 m at release.
    expect(view.flightFramesInView).toBe(Math.floor((3 - 0.15 - 0.35 - 0.8) / (13 / 240)));
  });

  it("names a field that holds push and flight when the one given does not", () => {
    for (const fieldM of [0.9, 1.5, 2]) {
      const view = seen(withField(fieldM));
      expect(view.flightFramesInView).toBeLessThan(20);
      expect(view.pushFits).toBe(fieldM > 1.2);
      const wider = seen(withField(1.0001 * view.fieldThatWouldDoM));
      expect(wider.pushFits).toBe(true);
      expect(wider.flightFramesInView).toBeGreaterThanOrEqual(20);
    }
  });

  it("does the same for a steep shot, where height is what is short", () => {
    const steep = { ...CAMERA_PLAN_DEFAULTS.shot, angleRad: 1.3 };
    const view = seen(withField(2, { shot: steep }));
    expect(view.flightFramesInView).toBeLessThan(20);
    const wider = seen(withField(1.0001 * view.fieldThatWouldDoM, { shot: steep }));
    expect([wider.pushFits, wider.flightFramesInView >= 20]).toEqual([true, true]);
  });

  it("spreads points evenly from one end of the spacing to the other, about the balance point", () => {
    expect(pointsOnBody(withField(2, { points: 3, spacingM: 0.5 }))).toEqual([
      [0.25, 0],
      [0, 0],
      [-0.25, 0],
    ]);
  });
});
