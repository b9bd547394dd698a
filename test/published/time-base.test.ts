import { describe, expect, it } from "vitest";
import { blurLengthPx } from "../../src/shared/clock/blur.ts";
import { frameClock } from "../../src/shared/clock/frame-clock.ts";
import { lampCheck } from "../../src/shared/clock/lamp-check.ts";
import { repeatedFrames } from "../../src/shared/clock/repeated-frames.ts";
import { apparentSpeedRatio, shutterLeanRad } from "../../src/shared/clock/rolling-shutter.ts";
import { weightedPolynomial } from "../../src/shared/numeric/weighted-polynomial.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

/** Least-squares slope of y over x. */
function slope(x: readonly number[], y: readonly number[]): number {
  const line = weightedPolynomial(
    x,
    y,
    x.map(() => 1),
    1,
  );
  return (line.coefficients[1] as number) / line.half;
}

describe("conformed slow motion: believing the file scales speeds by played/filmed and accelerations by its square", () => {
  it.each([
    [240, 30, 0.125, 0.015625],
    [960, 30, 0.03125, 9.765625e-4],
  ])("%d filmed, %d played", (filmed, played, bySpeed, byAcceleration) => {
    const stamps = Array.from({ length: 61 }, (_, k) => k / played);
    const u = { value: 0, u: 0 };
    const believed = unwrap(frameClock({ kind: "timestamps", rateError: u }, stamps));
    const truth = unwrap(
      frameClock({ kind: "capture-rate", captureRateHz: { value: filmed, u: 0 } }, stamps),
    );
    const ratio = truth.timeOf(60) / believed.timeOf(60);
    expect(ratio).toBeCloseTo(bySpeed, 14);
    expect(ratio ** 2).toBeCloseTo(byAcceleration, 14);
  });

  it("30 a second taken for 30000/1001 makes speeds 0.0999 % too high", () => {
    const stamps = Array.from({ length: 61 }, (_, k) => (k * 1001) / 30000);
    const truth = unwrap(frameClock({ kind: "timestamps", rateError: { value: 0, u: 0 } }, stamps));
    const taken = unwrap(frameClock({ kind: "capture-rate", captureRateHz: { value: 30, u: 0 } }, stamps));
    expect(100 * (1 - taken.timeOf(60) / truth.timeOf(60))).toBeCloseTo(0.0999001, 7);
  });
});

describe("stamps in whole ticks: an interval of a variable rate errs by a triangle of sd q/√6 (two roundings, each q/√12; derived)", () => {
  it.each([
    [1e-3, 0.408248e-3],
    [1 / 600, 0.680414e-3],
    [1 / 90000, 4.5361e-6],
  ])("ticks of %d s leave %d s over 20 000 seeded intervals", (tick, sd) => {
    const chance = createChance(5);
    const truth = [0];
    for (let k = 0; k < 20_000; k++) truth.push(truth[k]! + tick * (40 + chance.uniform()));
    const stamps = truth.map((t) => Math.round(t / tick) * tick);
    const clock = unwrap(frameClock({ kind: "timestamps", rateError: { value: 0, u: 0 } }, stamps));
    const errors = truth
      .slice(1)
      .map((t, k) => clock.timeOf(k + 1) - clock.timeOf(k) - (t - (truth[k] as number)));
    const spread = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    // sd of the sample sd of a triangle, kurtosis 2.4: √((2.4 - 1)/(4 · 20 000)) = 0.42 %; three of them
    expect(Math.abs(spread / sd - 1)).toBeLessThan(0.0126);
  });
});

describe("repeated frames: 12 px a new picture, every 6th of 60 repeated (derived)", () => {
  // 1-based frames 7, 13, ..., 55 repeat the one before; 0-based 6, 12, ..., 54.
  const repeats = [7, 13, 19, 25, 31, 37, 43, 49, 55].map((k) => k - 1);
  const frames = Array.from({ length: 60 }, (_, k) => k);
  const x = frames.map((k) => 12 * (k - repeats.filter((r) => r <= k).length));

  it("repeatedFrames flags 7, 13, ... 55 and a fraction of 0.15254237", () => {
    const found = unwrap(repeatedFrames(x.map((at, k) => (k === 0 ? null : at - (x[k - 1] as number)))));
    expect(found.frames).toEqual(repeats);
    expect(found.fraction).toBeCloseTo(0.15254237, 8);
    expect(found.period).toMatchObject({ everyFrames: 6, repeats: 1, agreement: 1 });
  });

  it("a fit that counts them reads 0.83495415 of the true px a picture; with the clock told, all of it", () => {
    expect(slope(frames, x) / 12).toBeCloseTo(0.83495415, 8);
    const rate = { value: 240, u: 0 };
    const told = {
      kind: "capture-rate",
      captureRateHz: rate,
      repeats: { frames: repeats, kind: "inserted" },
    } as const;
    const clock = unwrap(frameClock(told, null));
    expect(
      slope(
        frames.map((k) => clock.timeOf(k)),
        x,
      ) /
        240 /
        12,
    ).toBeCloseTo(1, 12);
  });
});

describe("rolling shutter (Meingast, Geyer & Sastry 2005; derived)", () => {
  it.each([
    [2000, 10e-6, 1.02040816],
    [-2000, 10e-6, 0.98039216],
    [5000, 15e-6, 1.08108108],
  ])(
    "apparentSpeedRatio(%d px/s, %d s a row) is %d, and frameClock with the readout takes it out",
    (v, rowS, ratio) => {
      expect(apparentSpeedRatio(v, rowS)).toBeCloseTo(ratio, 8);
      // A point at y(t) = 540 + v t is seen in frame k at the row that is read when the point is there.
      const heightPx = 1080;
      const readout = { readoutS: { value: rowS * heightPx, u: 0 }, heightPx };
      const frames = [0, 1, 2, 3, 4, 5, 6];
      const seen = frames.map((k) => 540 + (v * (k / 240)) / (1 - v * rowS));
      const clock = unwrap(
        frameClock({ kind: "capture-rate", captureRateHz: { value: 240, u: 0 }, readout }, null),
      );
      expect(
        slope(
          frames.map((k) => clock.timeOf(k)),
          seen,
        ) / v,
      ).toBeCloseTo(ratio, 8);
      const own = frames.map((k, i) => clock.timeOf(k, seen[i]));
      expect(slope(own, seen) / v).toBeCloseTo(1, 11);
    },
  );

  it("shutterLeanRad(9000 px/s, 10 µs) is 0.090 rad, and rows 200 and 800 at 10 µs lie 6.0 ms apart", () => {
    expect(Math.tan(shutterLeanRad(9000, 10e-6))).toBeCloseTo(0.09, 12);
    const readout = { readoutS: { value: 10e-6 * 1000, u: 0 }, heightPx: 1000 };
    const clock = unwrap(
      frameClock({ kind: "capture-rate", captureRateHz: { value: 240, u: 0 }, readout }, null),
    );
    expect(clock.timeOf(3, 800) - clock.timeOf(3, 200)).toBeCloseTo(6e-3, 12);
  });
});

it.each([
  [18, 1 / 4000, 2e-3, 2.25],
  [18, 1 / 1000, 2e-3, 9],
  [30, 1 / 8000, 1.25e-3, 3],
])("blurLengthPx(%d m/s, %d s, %d m/px) is %d px (b = v t/s, derived)", (v, exposure, scale, blur) => {
  expect(blurLengthPx(v, exposure, scale)).toBeCloseTo(blur, 12);
});

it("lampCheck of two events 480 frames and 2.000 s ± 0.5 ms apart: 240 Hz, u(f)/f = 8.865e-4 (JCGM 101, 6.4.2; derived)", () => {
  const events = [
    { frame: 0, blink: 0 },
    { frame: 480, blink: 1 },
  ];
  const { captureRateHz } = unwrap(lampCheck(events, { value: 2, u: 0.5e-3 }));
  expect(captureRateHz.value).toBeCloseTo(240, 10);
  expect(captureRateHz.u / captureRateHz.value).toBeCloseTo(8.864985220684973e-4, 12);
});
