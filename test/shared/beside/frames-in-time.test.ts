import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { framesInTime, type InstantsOf } from "../../../src/shared/beside/frames-in-time.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const SESSION = exampleSession(1);
const FILMED = filmedShot(SESSION, SESSION.shots[0]!);
const FACTS = {
  ...{ timeBase: [1, 30] as [number, number], width: 640, height: 400, rotationDeg: 0 },
  pts: Array.from({ length: 50 }, (_, i) => i),
};
const AT_100_HZ: Shot["clock"] = { kind: "capture-rate", captureRateHz: { value: 100, u: 0.5 } };
const MARK = { pointId: FILMED.points.find(({ on }) => on === "airframe")!.id, u: 0.5, by: "hand" } as const;

/** A shot at 100 Hz whose airframe is marked in two frames, low in the picture at release. */
const filmed = (patch: Partial<Shot> = {}, readoutS?: { value: number; u: number }) => ({
  ...FILMED,
  shot: {
    ...FILMED.shot,
    clock: AT_100_HZ,
    marks: [
      { ...MARK, frame: 10, x: 90, y: 100 },
      { ...MARK, frame: 25, x: 480, y: 300 },
    ],
    ...patch,
  },
  camera: FILMED.camera === null ? null : { ...FILMED.camera, readoutS },
});

const budget = {
  releaseTime: [
    { source: "marks", u: 3e-4 },
    { source: "clock", u: 0.05 },
    { source: "shutter", u: 0.02 },
    { source: "scale", u: 4e-4 },
  ],
} as const;
const MEASURED: InstantsOf = {
  quantities: { releaseTime: { value: 0.247, u: 0.06, unit: "s", how: "" } },
  budget,
  ...{ releaseClipS: 0.247, startClipS: 0.104, startClipU: 7e-4 },
  captureRateHz: { value: 100, u: 0.5 },
};

it("counts frames from release; the error of the rate is in the time between, not in all since frame 0", () => {
  const frames = unwrap(framesInTime(filmed(), FACTS, MEASURED, "release"));
  expect(frames.timeOf(25)).toBeCloseTo(0.003, 12);
  expect(frames.timeOf(10)).toBeCloseTo(-0.147, 12);
  expect(frames.uOf(25)).toBeCloseTo(Math.hypot(5e-4, 0.005 * 0.003), 12); // 3 and 4: without clock and shutter
  expect(frames.uOf(10)).toBeCloseTo(Math.hypot(5e-4, 0.005 * 0.147), 12);
  expect(frames).toMatchObject({ count: 50, zeroS: 0.247, zeroU: expect.closeTo(5e-4, 12) });
});

it("counts frames from first motion, with its u by the marks", () => {
  const frames = unwrap(framesInTime(filmed(), FACTS, MEASURED, "first motion"));
  expect(frames.timeOf(10)).toBeCloseTo(-0.004, 12);
  expect(frames.uOf(10)).toBeCloseTo(Math.hypot(7e-4, 0.005 * 0.004), 12);
});

it("counts the rate that the measurement used, and frames that the file lacks", () => {
  const gaps = [{ afterFrame: 20, missing: 2 }];
  const shot = filmed({ clock: { ...AT_100_HZ, gaps } as Shot["clock"] });
  const checked = { ...MEASURED, captureRateHz: { value: 125, u: 0 } };
  const frames = unwrap(framesInTime(shot, FACTS, checked, "release"));
  expect(frames.timeOf(20)).toBeCloseTo(20 / 125 - 0.247, 12);
  expect(frames.timeOf(21)).toBeCloseTo(23 / 125 - 0.247, 12);
});

it("allows for the rows in which the airframe lies then, read later than the middle row, turned clips too", () => {
  const readoutS = { value: 0.008, u: 0.002 };
  const upright = unwrap(framesInTime(filmed({}, readoutS), FACTS, MEASURED, "release"));
  expect(upright.timeOf(25)).toBeCloseTo(0.003 + (300 / 400 - 0.5) * 0.008, 12);
  expect(upright.uOf(25)).toBeCloseTo(Math.hypot(5e-4, 0.005 * 0.005), 12); // the readout's error moves the release as much
  const motion = unwrap(framesInTime(filmed({}, readoutS), FACTS, MEASURED, "first motion"));
  expect(motion.timeOf(10)).toBeCloseTo(-0.004 + (100 / 400 - 0.5) * 0.008, 12);
  const turned = unwrap(
    framesInTime(filmed({}, readoutS), { ...FACTS, rotationDeg: 270 }, MEASURED, "release"),
  );
  expect(turned.timeOf(25)).toBeCloseTo(0.003 + (480 / 640 - 0.5) * 0.008, 12);
});

it("refuses an instant that the marks do not show, a clip without frames, and a clock that does not fit it", () => {
  const { startClipU: _, ...noStart } = MEASURED;
  const code = (...args: Parameters<typeof framesInTime>) => {
    const found = framesInTime(...args);
    return found.ok ? "ok" : found.code;
  };
  expect(code(filmed(), FACTS, { ...MEASURED, quantities: {} }, "release")).toBe("no-release");
  expect(code(filmed(), FACTS, { ...MEASURED, quantities: {} }, "first motion")).toBe("ok");
  expect(code(filmed(), FACTS, noStart, "first motion")).toBe("no-first-motion");
  expect(code(filmed(), { ...FACTS, pts: [] }, MEASURED, "release")).toBe("no-frames");
  expect(code(filmed({ clock: null }), FACTS, MEASURED, "release")).toBe("no-clock");
  const stale = { kind: "stale", frames: [60] } as const; // of a clip of 50 frames
  const stamps = {
    kind: "timestamps",
    rateError: { value: 0, u: 1e-4 },
    repeats: { ...stale, frames: [60] },
  };
  expect(code(filmed({ clock: stamps as Shot["clock"] }), FACTS, MEASURED, "release")).toBe("no-clock");
});

it("finds first motion with its u in a measurement whose marks begin at rest, and none where they begin later", () => {
  const { measurement } = measureShot(SESSION, FILMED.shot.id, null);
  expect(measurement!.startClipU).toBeGreaterThan(1e-5);
  expect(measurement!.startClipU).toBeLessThan(0.02);
  const late = FILMED.shot.marks.filter(
    ({ frame }) => frame / measurement!.captureRateHz!.value > measurement!.startClipS + 0.03,
  );
  const shots = [{ ...FILMED.shot, marks: late }];
  const begun = measureShot({ ...SESSION, shots }, FILMED.shot.id, null).measurement;
  expect(begun!.quantities.releaseTime).toBeDefined();
  expect(begun!.startClipU).toBeUndefined();
});
