import { expect, it } from "vitest";
import { frameAtTime, misfitsOf, signedMs, stripTime } from "../../../src/renderer/strip/strip-plan.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshShot } from "../../../src/shared/session/fresh.ts";

const facts = { pts: [0, 100, 200, 400], timeBase: [1, 1000] } as unknown as ClipFacts;
const shot = freshShot("shot-1", "one", "a.mp4");
const measurement = {
  releaseClipS: 0.002,
  residuals: [
    { pointId: "nose", frame: 1, dxPx: 1, dyPx: 0, z: 2.5 },
    { pointId: "tail", frame: 3, dxPx: 3, dyPx: 0, z: 7.5 },
    { pointId: "nose", frame: 2, dxPx: 2, dyPx: 0, z: 4.1 },
  ],
} as unknown as Measurement;

it("counts from release by the shot's clock once both are there, else from the first frame by the file's own times", () => {
  const own = stripTime(shot, facts, null);
  expect([own.timeOf(3), own.zeroS, own.zeroIs, own.clockSet]).toEqual([0.4, 0, "first frame", false]);
  const clock = { kind: "capture-rate", captureRateHz: { value: 1000, u: 1 } } as const;
  const set = stripTime({ ...shot, clock }, facts, measurement);
  expect([set.timeOf(3), set.zeroS, set.zeroIs, set.clockSet]).toEqual([0.003, 0.002, "release", true]);
});

it("finds the frame at a time, with fraction, also where frames are unevenly timed", () => {
  const time = stripTime(shot, facts, null);
  expect(frameAtTime(time, 0.3, 4)).toBeCloseTo(2.5, 12);
  expect([frameAtTime(time, -1, 4), frameAtTime(time, 9, 4)]).toEqual([0, 3]);
});

it("names the marks beyond 4 u, worst first", () => {
  const clock = { kind: "capture-rate", captureRateHz: { value: 1000, u: 1 } } as const;
  const points = [
    { id: "nose", name: "nose", on: "airframe", airframeId: "airframe-1", body: null },
    { id: "tail", name: "tail", on: "airframe", airframeId: "airframe-1", body: null },
  ] as const;
  const texts = misfitsOf(measurement, [...points], stripTime({ ...shot, clock }, facts, measurement)).map(
    (m) => m.text,
  );
  expect(texts).toEqual([
    "tail at +1.0 ms lies 7.5 u off: look again",
    "nose at 0.0 ms lies 4.1 u off: look again",
  ]);
});

it("writes times with a sign, and zero without", () => {
  expect([signedMs(0.0156), signedMs(-0.03), signedMs(-0.00001)]).toEqual(["+15.6", "−30.0", "0.0"]);
});

it("keeps the time that the measurement used when checks moved the rate", () => {
  const clock = { kind: "capture-rate", captureRateHz: { value: 1000, u: 1 } } as const;
  const checked = { ...measurement, captureRateHz: { value: 500, u: 1 } };
  expect(stripTime({ ...shot, clock }, facts, checked).timeOf(3)).toBe(0.006);
});

it("goes on by the file's own times when repeated frames do not fit the clip", () => {
  const clock = {
    kind: "timestamps" as const,
    rateError: { value: 0, u: 1e-4 },
    repeats: { frames: [77], kind: "stale" as const },
  };
  const time = stripTime({ ...shot, clock }, facts, null);
  expect([time.timeOf(3), time.clockSet]).toEqual([0.4, false]);
});
