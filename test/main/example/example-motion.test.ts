import { expect, it } from "vitest";
import { exampleMotion, examplePixel, examplePose } from "../../../src/main/example/example-motion.ts";
import {
  PUSH_OFFSET_M,
  rampToWorld,
  TRUE_AIRFRAME,
  TRUE_CAMERA,
  TRUE_RAM,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { TruthSchema } from "../../../src/shared/results/results-schema.ts";

const truth = exampleTruth().shots[0]!.quantities;
const { startS, releaseS, ram } = exampleMotion();
const H = 1e-4; // s, step of the numerical derivatives

/** Travel along the push line and height above it, m. */
function onRamp(timeS: number) {
  const { x, y } = examplePose(timeS);
  const [c, s] = [Math.cos(TRUE_RAM.angleRad), Math.sin(TRUE_RAM.angleRad)];
  return { along: c * x + s * y, above: c * y - s * x };
}
const slope = (f: (t: number) => number, t: number, h = H) => (f(t + h) - f(t - h)) / (2 * h);
const bend = (f: (t: number) => number, t: number, h = H) => (f(t + h) - 2 * f(t) + f(t - h)) / h ** 2;
const along = (t: number) => onRamp(t).along;

it("reaches the stated release speed, pitch rate, pitch and angle, by differences of the pose just before release", () => {
  const t = releaseS - 2 * H; // one-sided: acceleration jumps at release, so the speed is carried on by a·2H
  const speed = slope(along, t) + bend(along, t) * 2 * H;
  expect(speed).toBeCloseTo(truth.releaseSpeed!.value, 3);
  const pitch = (time: number) => examplePose(time).pitch;
  expect(slope(pitch, t) + bend(pitch, t) * 2 * H).toBeCloseTo(truth.pitchRateAtRelease!.value, 4);
  expect(pitch(releaseS)).toBe(truth.pitchAtRelease!.value);
  const [vx, vy] = [slope((time) => examplePose(time).x, t), slope((time) => examplePose(time).y, t)];
  expect(Math.atan2(vy, vx)).toBeCloseTo(truth.launchAngle!.value, 9);
  expect(along(releaseS)).toBeCloseTo(truth.stroke!.value, 9);
});

it("has the stated peak acceleration as the greatest second difference of the travel", () => {
  let greatest = 0;
  for (let t = startS + 2 * H; t < releaseS - 2 * H; t += H) greatest = Math.max(greatest, bend(along, t));
  // differences smooth over 0.2 ms
  expect(Math.abs(greatest / truth.peakAcceleration!.value - 1)).toBeLessThan(1e-3);
});

it("turns as the moment of the contact force asks: I dω/dt = F d, summed in steps over the push", () => {
  let rate = 0;
  const steps = 4000;
  const h = (releaseS - startS) / steps;
  for (let i = 0; i < steps; i++) {
    const a = ram.at(ram.startS + (i + 0.5) * h).accelerationMPerS2;
    const force = TRUE_AIRFRAME.massKg * (a + 9.80665 * Math.sin(TRUE_RAM.angleRad));
    rate += (force * PUSH_OFFSET_M * h) / TRUE_AIRFRAME.pitchInertiaKgM2;
  }
  expect(rate).toBeCloseTo(truth.pitchRateAtRelease!.value, 4);
});

it("states mean acceleration, push time and release time that agree with one another", () => {
  expect(truth.meanPushAcceleration!.value * truth.pushTime!.value).toBeCloseTo(
    0.96 * truth.releaseSpeed!.value,
    12,
  );
  expect(truth.releaseTime!.value - truth.pushTime!.value).toBeGreaterThan(startS);
});

it("stands still before motion, keeps to the push line until release and flies freely after it", () => {
  expect(examplePose(startS - 1e-6)).toEqual(examplePose(0));
  for (let t = startS; t < releaseS; t += 0.005) expect(Math.abs(onRamp(t).above)).toBeLessThan(1e-12);
  for (let t = releaseS + 0.002; t < 0.18; t += 0.01) {
    const [ax, ay] = [bend((s) => examplePose(s).x, t, 1e-3), bend((s) => examplePose(s).y, t, 1e-3)];
    expect(Math.hypot(ax, ay)).toBeLessThan(9.80665);
    expect(ax).toBeLessThan(0); // drag, and lift leaning back
    expect(ay).toBeLessThan(0);
  }
});

it("is continuous in position and speed at release and damps the pitch rate to 1/e in the stated time", () => {
  const [before, after] = [examplePose(releaseS - 1e-9), examplePose(releaseS + 1e-9)];
  expect(Math.hypot(after.x - before.x, after.y - before.y)).toBeLessThan(1e-7);
  const t = releaseS + 2 * H;
  const speed = Math.hypot(
    slope((s) => examplePose(s).x, t),
    slope((s) => examplePose(s).y, t),
  );
  expect(Math.abs(speed - truth.releaseSpeed!.value)).toBeLessThan(9.80665 * 2 * H);
  const { pitchRate } = exampleMotion();
  const later = pitchRate(releaseS + TRUE_AIRFRAME.pitchDampingS);
  expect(later / pitchRate(releaseS)).toBeCloseTo(1 / Math.E, 12);
});

it("is a launch a person could measure: speed, peak, duration and what the clip shows of it", () => {
  expect(truth.releaseSpeed!.value).toBeGreaterThan(12);
  expect(truth.releaseSpeed!.value).toBeLessThan(15);
  expect(truth.peakAcceleration!.value).toBeGreaterThan(200);
  expect(truth.peakAcceleration!.value).toBeLessThan(260);
  expect(ram.peakAccelerationS - ram.startS).toBeGreaterThan(0.02);
  expect(ram.exitAccelerationMPerS2).toBeGreaterThan(60);
  const lastS = (TRUE_CAMERA.frames - 1) / TRUE_CAMERA.captureRateHz;
  expect(startS).toBeGreaterThan(0.02);
  expect(lastS - releaseS).toBeGreaterThan(0.05);
  expect(lastS - releaseS).toBeLessThan(0.07);
});

it("keeps both targets well inside the picture, the nose ahead of and above the tail, a fixed distance apart", () => {
  const apartM = TRUE_AIRFRAME.targets.nose[0] - TRUE_AIRFRAME.targets.tail[0];
  for (let frame = 0; frame < TRUE_CAMERA.frames; frame++) {
    const [nose, tail] = [examplePixel("nose", frame), examplePixel("tail", frame)];
    expect(Math.hypot(nose[0] - tail[0], nose[1] - tail[1])).toBeCloseTo(apartM / TRUE_CAMERA.metresPerPx, 9);
    expect(tail[0]).toBeGreaterThan(60);
    expect(nose[0]).toBeLessThan(1860);
    expect(nose[1]).toBeGreaterThan(60);
    expect(nose[1]).toBeLessThan(tail[1]);
  }
});

it("shows one metre to the right a little lower and one metre up a little to the right: the camera's roll", () => {
  const [x0, y0] = worldToPixel([0, 0]);
  const [x1, y1] = worldToPixel([1, 0]);
  const [x2, y2] = worldToPixel([0, 1]);
  const roll = (0.6 * Math.PI) / 180;
  expect([x1 - x0, y1 - y0]).toEqual([
    expect.closeTo(Math.cos(roll) / 1.4187e-3, 9),
    expect.closeTo(Math.sin(roll) / 1.4187e-3, 9),
  ]);
  expect([x2 - x0, y2 - y0]).toEqual([
    expect.closeTo(Math.sin(roll) / 1.4187e-3, 9),
    expect.closeTo(-Math.cos(roll) / 1.4187e-3, 9),
  ]);
  expect(rampToWorld([1, 0])).toEqual([Math.cos(TRUE_RAM.angleRad), Math.sin(TRUE_RAM.angleRad)]);
});

it("gives a truth document that its schema takes", () => {
  expect(TruthSchema.safeParse(exampleTruth()).error).toBeUndefined();
});
