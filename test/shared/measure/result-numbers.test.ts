import { expect, it } from "vitest";
import type { MotionNumbers } from "../../../src/shared/kinematics/motion-numbers.ts";
import { resultNumbers } from "../../../src/shared/measure/result-numbers.ts";

const MOTION: MotionNumbers = {
  releaseS: 0.21,
  startS: 0.08,
  speed: 12,
  direction: 0.3,
  pitch: 0.34,
  pitchRate: 0.6,
  attitude: 0.04,
  peakAcceleration: 140,
  peakBeforeReleaseS: 0.09,
  onsetJerk: 3500,
  stroke: 0.8,
  pushTime: 0.13,
  meanAcceleration: 90,
  meanPitchAcceleration: 25,
  drag: 0.7,
  peakPowerPerKg: 1500,
};

// By hand, with g sin 0.3 = 9.80665 m/s² * 0.295520 = 2.898063 m/s².
it("turns one motion of 0.5 kg and 0.01 kg m² into loads, forces, work and the push line's offset", () => {
  const results = resultNumbers(MOTION, { massKg: 0.5, pitchInertiaKgM2: 0.01 });
  expect(results).toMatchObject({
    loadFactor: expect.closeTo(14.571547, 6), // 140/9.80665 + sin 0.3
    peakForce: expect.closeTo(71.449032, 6), // 0.5 (140 + 2.898063) N
    meanForce: expect.closeTo(46.449032, 6), // 0.5 (90 + 2.898063) N
    impulse: 6, // 0.5 * 12 N s
    pushWork: expect.closeTo(37.159225, 6), // 0.25 * 144 + 0.5 * 2.898063 * 0.8 J
    peakPower: 750, // 0.5 * 1500 W
    pushLineOffset: expect.closeTo(0.005382244, 9), // 0.01 * 25 / 46.449032 m
  });
});

it("passes on what needs neither mass nor inertia", () => {
  expect(resultNumbers(MOTION, { massKg: null, pitchInertiaKgM2: 0.01 })).toEqual({
    releaseTime: 0.21,
    releaseSpeed: 12,
    peakAcceleration: 140,
    pitchRateAtRelease: 0.6,
    launchAngle: 0.3,
    pitchAtRelease: 0.34,
    attitudeToPath: 0.04,
    meanPushAcceleration: 90,
    meanPitchAcceleration: 25,
    peakBeforeRelease: 0.09,
    onsetJerk: 3500,
    pushTime: 0.13,
    stroke: 0.8,
    dragAfterRelease: 0.7,
    loadFactor: expect.closeTo(14.571547, 6),
  });
});

it("gives no push line where the inertia is not known", () => {
  const results = resultNumbers(MOTION, { massKg: 0.5, pitchInertiaKgM2: null });
  expect(Object.keys(results)).toContain("peakForce");
  expect(Object.keys(results)).not.toContain("pushLineOffset");
});
