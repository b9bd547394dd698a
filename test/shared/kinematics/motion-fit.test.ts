import { describe, expect, it } from "vitest";
import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import {
  type MotionEstimates,
  motionEstimates,
  sampleMotion,
} from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { withheldNumbers } from "../../../src/shared/kinematics/withheld.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { PUSH_AXIS, simulatedPush } from "./simulated-push.ts";
import { AXIS, FILMED, SHOT, simulatedMarks, TRUTH } from "./simulated-shot.ts";

const fitOf = (marks: readonly PlaneMark[]) =>
  unwrap(fitMotion({ marks, axis: AXIS, release: { by: "change-point" } }));
const estimate = (marks: readonly PlaneMark[]) => motionEstimates(fitOf(marks));

const TRUE_VALUES: readonly [name: keyof MotionEstimates, truth: number][] = [
  ["releaseS", TRUTH.releaseS],
  ["speed", TRUTH.speed],
  ["direction", SHOT.directionRad],
  ["pitch", TRUTH.pitch],
  ["pitchRate", TRUTH.pitchRate],
  ["peakAcceleration", TRUTH.peakAcceleration],
  ["startS", TRUTH.startS],
  ["pushTime", TRUTH.pushTime],
  ["meanAcceleration", (0.96 * TRUTH.speed) / TRUTH.pushTime],
  ["stroke", TRUTH.stroke],
];

describe("fitMotion", () => {
  it("comes within a thousandth of the truth on marks good to 5 µm", () => {
    const e = estimate(simulatedMarks({ ...FILMED, noiseM: 5e-6, statedM: 5e-6 }));
    expect(e.speed.value / TRUTH.speed).toBeCloseTo(1, 3);
    expect(e.releaseS.value).toBeCloseTo(TRUTH.releaseS, 4);
    expect(e.peakAcceleration.value / TRUTH.peakAcceleration).toBeCloseTo(1, 2);
    expect(e.pitchRate.value / TRUTH.pitchRate).toBeCloseTo(1, 2);
    expect(Math.abs(e.stroke.value - TRUTH.stroke)).toBeLessThan(3 * e.stroke.u);
    expect(e.stroke.u / TRUTH.stroke).toBeLessThan(1e-3);
  });

  it("holds the truth within 2 u in at least 17 of 20 seeded shots, for every headline result and for what hangs on first motion", () => {
    const inside = new Map<string, number>();
    for (let seed = 1; seed <= 20; seed++) {
      const e = estimate(simulatedMarks({ ...FILMED, seed }));
      for (const [name, truth] of TRUE_VALUES) {
        const { value, u } = e[name] as Measured;
        if (Math.abs(value - truth) <= 2 * u) inside.set(name, (inside.get(name) ?? 0) + 1);
      }
    }
    for (const [name] of TRUE_VALUES) expect(inside.get(name), name).toBeGreaterThanOrEqual(17);
  });

  it("gives the same results when the clock starts elsewhere, the origin moves and the launch is turned", () => {
    const marks = simulatedMarks(FILMED);
    const e = estimate(marks);
    const [cos, sin] = [Math.cos(0.2), Math.sin(0.2)];
    const moved = estimate(
      marks.map((m) => ({
        ...m,
        timeS: m.timeS + 3,
        x: 5 + cos * m.x - sin * m.y,
        y: -2 + sin * m.x + cos * m.y,
      })),
    );
    // Gravity stays vertical while the launch turns: the fit may differ by what that
    // prior weighs, far below u.
    expect(Math.abs(moved.speed.value - e.speed.value)).toBeLessThan(0.1 * e.speed.u);
    expect(Math.abs(moved.releaseS.value - 3 - e.releaseS.value)).toBeLessThan(0.1 * e.releaseS.u);
    expect(Math.abs(moved.direction.value - 0.2 - e.direction.value)).toBeLessThan(0.1 * e.direction.u);
    expect(Math.abs(moved.pitchRate.value - e.pitchRate.value)).toBeLessThan(0.1 * e.pitchRate.u);
  });

  it("finds the noise it was given, whatever u the marks state", () => {
    const fit = fitOf(simulatedMarks({ ...FILMED, statedM: 1e-3 }));
    // 480 coordinates: the relative sd of an estimated sd is 1/sqrt(2*480) = 3 %; four of those
    expect(Math.sqrt(fit.best.noiseVariance)).toBeCloseTo(0.5, 1);
    expect(Math.abs(Math.sqrt(fit.best.noiseVariance) / 0.5 - 1)).toBeLessThan(0.13);
  });

  it("names gross misclicks and gives what it gives without them", () => {
    const marks = simulatedMarks(FILMED);
    const chance = createChance(7);
    const bad = new Set(Array.from({ length: 10 }, () => Math.floor(chance.uniform() * marks.length)));
    const spoilt = marks.map((mark, i) =>
      bad.has(i) ? { ...mark, x: mark.x + 0.026, y: mark.y - 0.01 } : mark,
    );
    const fit = fitOf(spoilt);
    expect(new Set(fit.setAside)).toEqual(new Set(spoilt.filter((_, i) => bad.has(i))));
    const without = estimate(marks.filter((_, i) => !bad.has(i)));
    expect(motionEstimates(fit).speed.value).toBeCloseTo(without.speed.value, 6);
  });

  it("names and leaves out the same misclicks where the shutter reads row by row", () => {
    const marks = simulatedMarks({ ...FILMED, readout: { topS: 8e-3, heightM: 1.4 } });
    const bad = new Set([31, 90, 163, 251, 298]);
    const spoilt = marks.map((mark, i) => (bad.has(i) ? { ...mark, x: mark.x + 0.026 } : mark));
    const fit = fitOf(spoilt);
    expect(new Set(fit.setAside)).toEqual(new Set(spoilt.filter((_, i) => bad.has(i))));
    expect(fit.frames.flat()).toHaveLength(marks.length - bad.size);
    const without = estimate(marks.filter((_, i) => !bad.has(i)));
    expect(motionEstimates(fit).speed.value).toBeCloseTo(without.speed.value, 6);
  });

  it("keeps the good marks of a push that is sharpest at its end, which a release not yet found disowns", () => {
    const corners = [
      [0, 60],
      [0.06, 60],
      [0.065, 237],
    ] as const;
    const filming = { corners, rateHz: 2000, noiseM: 26e-6, points: 2, restFrames: 12, flightFrames: 100 };
    let wrongly = 0;
    for (let seed = 1; seed <= 5; seed++) {
      const { marks } = simulatedPush({ ...filming, seed });
      const bad = new Set([40 + seed, 150 + 7 * seed, 260 + seed, 301]);
      const spoilt = marks.map((mark, i) => (bad.has(i) ? { ...mark, y: mark.y + 0.013 } : mark));
      const { setAside } = unwrap(
        fitMotion({ marks: spoilt, axis: PUSH_AXIS, release: { by: "change-point" } }),
      );
      for (const i of bad) expect(setAside).toContain(spoilt[i]);
      wrongly += setAside.length - bad.size;
    }
    // of some 2300 good marks; knots nearer together at release would follow those too
    expect(wrongly).toBeLessThanOrEqual(2);
  });

  it("gives the followed frames their own u where a track starts from a mark by hand", () => {
    const corners = [
      [0, 237],
      [0.06, 60],
    ] as const;
    const filming = { corners, rateHz: 480, noiseM: 0.13e-3, points: 2, restFrames: 12, flightFrames: 24 };
    for (let seed = 1; seed <= 3; seed++) {
      const { marks } = simulatedPush({ ...filming, seed });
      const byHand = marks.map((mark) => (mark.frame === 0 ? { ...mark, u: 26e-3 } : mark));
      const fitted = (some: readonly PlaneMark[]) =>
        unwrap(fitMotion({ marks: some, axis: PUSH_AXIS, release: { by: "change-point" } }));
      const [fit, whole] = [fitted(byHand), fitted(marks)];
      expect(fit.setAside).toEqual([]);
      const [e, all] = [motionEstimates(fit), motionEstimates(whole)];
      // A frame of rest less is all that is lost.
      expect(Math.abs(e.peakAcceleration.value - all.peakAcceleration.value)).toBeLessThan(
        0.5 * all.peakAcceleration.u,
      );
      expect(e.peakAcceleration.u / all.peakAcceleration.u).toBeLessThan(1.15);
    }
  });

  it("uses frames with a single mark", () => {
    const marks = simulatedMarks(FILMED).filter((mark, i) => mark.point === 0 || i % 3 !== 0);
    const e = estimate(marks);
    expect(Math.abs(e.speed.value - TRUTH.speed)).toBeLessThan(3 * e.speed.u);
    expect(Math.abs(e.pitchRate.value - TRUTH.pitchRate)).toBeLessThan(3 * e.pitchRate.u);
  });

  it("holds the truth within 2 u in at least 27 of 30 shots whose marks have a gap of 16 frames about release", () => {
    const corners = [
      [0, 0],
      [0.02, 190],
      [0.08, 60],
    ] as const;
    const filming = { corners, rateHz: 960, noiseM: 0.4e-3, points: 2, restFrames: 18, flightFrames: 50 };
    const inside = { speed: 0, releaseS: 0 };
    for (let seed = 1; seed <= 30; seed++) {
      const { marks, truth } = simulatedPush({ ...filming, seed });
      const from = Math.floor(truth.releaseS * 960) - (seed % 16);
      const seen = marks.filter(({ frame }) => frame < from || frame >= from + 16);
      const e = motionEstimates(
        unwrap(fitMotion({ marks: seen, axis: PUSH_AXIS, release: { by: "change-point" } })),
      );
      for (const name of ["speed", "releaseS"] as const) {
        if (Math.abs(e[name].value - truth[name]) <= 2 * e[name].u) inside[name]++;
      }
    }
    expect(inside.speed).toBeGreaterThanOrEqual(27);
    expect(inside.releaseS).toBeGreaterThanOrEqual(27);
  });

  it("takes a release that the person saw and the motion as two witnesses, and is surer than by either", () => {
    const marks = simulatedMarks(FILMED);
    const alone = estimate(marks).releaseS.u;
    const release = { by: "person", timeS: TRUTH.releaseS + alone, u: alone } as const;
    const e = motionEstimates(unwrap(fitMotion({ marks, axis: AXIS, release })));
    expect(e.releaseS.u).toBeLessThan(0.85 * alone);
    expect(Math.abs(e.releaseS.value - TRUTH.releaseS)).toBeLessThan(3 * e.releaseS.u);
    expect(Math.abs(e.speed.value - TRUTH.speed)).toBeLessThan(3 * e.speed.u);
  });

  it("believes the motion where the person is off by many of the stated u", () => {
    const release = { by: "person", timeS: TRUTH.releaseS - 8 / 960, u: 1 / 960 } as const;
    const e = motionEstimates(unwrap(fitMotion({ marks: simulatedMarks(FILMED), axis: AXIS, release })));
    expect(Math.abs(e.releaseS.value - TRUTH.releaseS)).toBeLessThan(3 * e.releaseS.u);
    expect(Math.abs(e.speed.value - TRUTH.speed)).toBeLessThan(3 * e.speed.u);
  });

  it("takes release from a known travel along the launcher", () => {
    const release = { by: "travel", travelM: TRUTH.stroke, u: 1e-3 } as const;
    const fit = unwrap(fitMotion({ marks: simulatedMarks(FILMED), axis: AXIS, release }));
    const e = motionEstimates(fit);
    expect(e.releaseS.u).toBeLessThan(0.3e-3);
    expect(Math.abs(e.releaseS.value - TRUTH.releaseS)).toBeLessThan(3 * e.releaseS.u);
  });

  it("refuses a release where the marks end with the push or before, and says how fast it was then", () => {
    for (const early of [0, 1, 2, 4]) {
      for (const seed of [1, 2, 3]) {
        const marks = simulatedMarks({ ...FILMED, seed }).filter(
          ({ timeS }) => timeS <= TRUTH.releaseS - early / 960,
        );
        const fit = fitMotion({ marks, axis: AXIS, release: { by: "change-point" } });
        if (fit.ok) expect.fail(`stated a release with the marks ending ${early} frames before it`);
        expect(fit.code).toBe("no-flight");
        const [first] = fit.numbers.speed === undefined ? [] : [fit.numbers.speed];
        const slower = (early / 960) * 0.5 * TRUTH.peakAcceleration;
        expect(Math.abs(first! - TRUTH.speed)).toBeLessThan(slower + 4 * fit.numbers.speedU!);
      }
    }
  });

  it("gives the flight alone where no frame shows the push", () => {
    const marks = simulatedMarks({ ...FILMED, flightFrames: 80 }).filter(
      ({ timeS }) => timeS > TRUTH.releaseS + 1e-3,
    );
    const fit = fitOf(marks);
    expect(fit.seen).toBe("flight");
    const e = motionEstimates(fit);
    expect(Math.abs(e.speed.value - TRUTH.speed)).toBeLessThan(4 * e.speed.u + 0.02);
    const withheld = withheldNumbers(fit, sampleMotion(fit));
    for (const name of ["stroke", "peakAcceleration", "pushTime"] as const)
      expect(withheld.has(name)).toBe(true);
    expect(withheld.has("speed")).toBe(false);
  });

  it("withholds what lies before the first mark, and measures the rest", () => {
    const marks = simulatedMarks(FILMED).filter(({ timeS }) => timeS > SHOT.restS + 0.5 * SHOT.pushS);
    const fit = fitOf(marks);
    expect(fit.seen).toBe("push");
    const e = motionEstimates(fit);
    expect(Math.abs(e.speed.value - TRUTH.speed)).toBeLessThan(3 * e.speed.u);
    const withheld = withheldNumbers(fit, sampleMotion(fit));
    for (const name of ["startS", "stroke", "pushTime", "meanAcceleration", "peakAcceleration"] as const) {
      expect(withheld.has(name), name).toBe(true);
    }
  });

  it("refuses with the numbers found and needed", () => {
    const marks = simulatedMarks(FILMED);
    const refusal = (some: readonly PlaneMark[]) =>
      fitMotion({ marks: some, axis: AXIS, release: { by: "change-point" } });
    expect(refusal(marks.slice(0, 16))).toMatchObject({
      code: "too-few-frames",
      numbers: { frames: 8, needed: 10 },
    });
    expect(refusal(marks.filter((mark) => mark.point === 0))).toMatchObject({ code: "no-axis" });
    expect(refusal(marks.filter((mark) => mark.timeS < 0.018))).toMatchObject({ code: "no-motion" });
  });
});
