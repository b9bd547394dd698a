import { describe, expect, it } from "vitest";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { CAMERA_PLAN_DEFAULTS, type ExpectedShot } from "../../../src/shared/camera-plan/plan-input.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const SHOT = CAMERA_PLAN_DEFAULTS.shot;
const byPeak = (peakMPerS2: number): ExpectedShot => ({ ...SHOT, push: { by: "peak", peakMPerS2 } });
const byTime = (pushS: number): ExpectedShot => ({ ...SHOT, push: { by: "time", pushS } });

describe("expectedMotion", () => {
  it("gives the case worked by hand: T = tau, V = 10 m/s, tau = 0.1 s", () => {
    // v(T) = 10 (1 - 1/e)²; L = 10 [T - 2 tau (1 - 1/e) + (tau/2)(1 - 1/e²)]; the peak V/(2
    // tau) = 50 lies at tau ln 2 < T
    const e = Math.exp(-1);
    const speedMPerS = 10 * (1 - e) ** 2;
    const strokeM = 10 * (0.1 - 0.2 * (1 - e) + 0.05 * (1 - e * e));
    const motion = unwrap(expectedMotion({ ...SHOT, speedMPerS, strokeM, push: { by: "time", pushS: 0.1 } }));
    expect(motion.peakMPerS2).toBeCloseTo(50, 9);
    expect(motion.speedAt(0.05)).toBeCloseTo(10 * (1 - Math.exp(-0.5)) ** 2, 9);
  });

  it.each([0.08, 0.1, 0.13, 0.16])("reaches the speed at the end of the stroke in %f s", (pushS) => {
    const motion = unwrap(expectedMotion(byTime(pushS)));
    expect(motion.pushS).toBeCloseTo(pushS, 12);
    expect(motion.speedAt(pushS)).toBeCloseTo(13, 9);
    const [x, y, pitch] = motion.poseAt(pushS);
    expect(Math.hypot(x, y)).toBeCloseTo(0.8, 9);
    expect(Math.atan2(y, x)).toBeCloseTo(SHOT.angleRad, 9);
    expect(pitch).toBeCloseTo(SHOT.angleRad + (SHOT.pitchRateRadPerS * 0.8) / 13, 9);
  });

  it.each([
    ["peak", byPeak(115)],
    ["peak", byPeak(200)],
    ["peak", byPeak(600)],
    ["time", byTime(0.17)], // the push ends while its acceleration still rises
    ["time", byTime(0.09)],
  ])("has the %s it says, and speeds that are the slope of its places", (_, shot) => {
    const motion = unwrap(expectedMotion(shot));
    const step = motion.pushS / 4000;
    const accelerations = Array.from(
      { length: 4000 },
      (_, i) => (motion.speedAt((i + 1) * step) - motion.speedAt(i * step)) / step,
    );
    expect(Math.max(...accelerations) / motion.peakMPerS2).toBeCloseTo(1, 2);
    if (shot.push.by === "peak") expect(motion.peakMPerS2).toBeCloseTo(shot.push.peakMPerS2, 6);
    const travel = (t: number) => Math.hypot(motion.poseAt(t)[0], motion.poseAt(t)[1]);
    const middle = motion.pushS / 2;
    expect((travel(middle + step) - travel(middle - step)) / (2 * step) / motion.speedAt(middle)).toBeCloseTo(
      1,
      4,
    );
  });

  it("rests before first motion and falls freely after release, with pitch rate held", () => {
    const motion = unwrap(expectedMotion(SHOT));
    expect(motion.poseAt(-1).map((x) => x + 0)).toEqual([0, 0, SHOT.angleRad]);
    const at = (t: number) => motion.poseAt(motion.pushS + t);
    const second = (i: number) =>
      ((at(0.2)[i] as number) - 2 * (at(0.1)[i] as number) + (at(0)[i] as number)) / 0.01;
    expect(second(0)).toBeCloseTo(0, 9);
    expect(second(1)).toBeCloseTo(-9.80665, 9);
    expect((at(0.2)[2] - at(0)[2]) / 0.2).toBeCloseTo(SHOT.pitchRateRadPerS, 9);
  });

  it("refuses a peak or a time that no such push has, and the bounds it names would do", () => {
    for (const [impossible, make] of [
      [byPeak(100), byPeak],
      [byPeak(1e5), byPeak],
      [byTime(0.05), byTime],
      [byTime(0.2), byTime],
    ] as const) {
      const refused = expectedMotion(impossible);
      if (refused.ok) throw new Error("expected a refusal");
      expect(refused.code).toBe(impossible.push.by === "peak" ? "peak-impossible" : "time-impossible");
      const { least = 0, most = 0 } = refused.numbers;
      expect(expectedMotion(make(1.001 * least)).ok).toBe(true);
      expect(expectedMotion(make(0.999 * most)).ok).toBe(true);
    }
    // Half v²/L is what a constant acceleration has; one that rises from nothing needs a little more.
    const refused = expectedMotion(byPeak(100));
    expect(refused.ok ? 0 : refused.numbers.least).toBeGreaterThan((0.5 * 13 ** 2) / 0.8);
  });

  it("throws RangeError on a speed, stroke or push that is not above 0", () => {
    expect(() => expectedMotion({ ...SHOT, speedMPerS: 0 })).toThrow(RangeError);
    expect(() => expectedMotion(byTime(-1))).toThrow(/need speed, stroke and push > 0; got 13, 0.8, -1/);
  });
});
