import { describe, expect, it } from "vitest";
import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { motionEstimates } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { suspectedRuns } from "../../../src/shared/kinematics/off-runs.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { PUSH_AXIS, simulatedPush } from "./simulated-push.ts";

const FILMING = {
  corners: [
    [0, 0],
    [0.02, 190],
    [0.08, 60],
  ],
  rateHz: 960,
  noiseM: 0.9e-3,
  restFrames: 18,
  flightFrames: 50,
} as const;

/** Marks with one point 5.2 to 7.8 mm (4 to 6 px) off for 10 to 20 frames in a row, and those marks. */
function withRun(seed: number, points: number) {
  const { marks, truth } = simulatedPush({ ...FILMING, points, seed });
  const chance = createChance(700 + seed);
  const length = 10 + Math.floor(11 * chance.uniform());
  const from = Math.floor(chance.uniform() * ((marks.at(-1)?.frame ?? 0) - length));
  const point = Math.floor(chance.uniform() * points);
  const way = 2 * Math.PI * chance.uniform();
  const off = 5.2e-3 + 2.6e-3 * chance.uniform();
  const bad = new Set<PlaneMark>();
  const spoilt = marks.map((mark) => {
    if (mark.point !== point || mark.frame < from || mark.frame >= from + length) return mark;
    const moved = { ...mark, x: mark.x + off * Math.cos(way), y: mark.y + off * Math.sin(way) };
    bad.add(moved);
    return moved;
  });
  return { marks: spoilt, bad, truth };
}

describe("fitMotion where a point lies off for a while", () => {
  it("names the run, 95 % of its marks and hardly another, and holds the speed in at least 27 of 30 shots, none silent", () => {
    let [inside, silent, named, all, wrongly] = [0, 0, 0, 0, 0];
    for (let seed = 1; seed <= 30; seed++) {
      const { marks, bad, truth } = withRun(seed, 2 + (seed % 3));
      const fit = unwrap(fitMotion({ marks, axis: PUSH_AXIS, release: { by: "change-point" } }));
      const { speed } = motionEstimates(fit);
      if (Math.abs(speed.value - truth.speed) <= 2 * speed.u) inside++;
      else if (fit.setAside.length === 0) silent++;
      const found = fit.setAside.filter((mark) => bad.has(mark)).length;
      all += bad.size;
      named += found;
      wrongly += fit.setAside.length - found;
    }
    expect(inside).toBeGreaterThanOrEqual(27);
    expect(silent).toBe(0);
    expect(named / all).toBeGreaterThan(0.95);
    expect(wrongly).toBeLessThanOrEqual(10); // of some 13 000 good marks
  });
});

describe("suspectedRuns", () => {
  const mark = (point: number, frame: number): PlaneMark => ({
    point,
    frame,
    timeS: frame,
    x: 0,
    y: 0,
    u: 1,
  });

  it("finds nothing in noise, in one mark far off, and in a motion that all points leave together", () => {
    const chance = createChance(3);
    const residuals = (shared: (frame: number) => number, own: (point: number, frame: number) => number) =>
      Array.from({ length: 200 }, (_, frame) =>
        [0, 1, 2].map((point) => {
          const dx = chance.normal() + shared(frame) + own(point, frame);
          return { mark: mark(point, frame), dx, dy: chance.normal(), z: 0 };
        }),
      ).flat();
    const none = () => 0;
    expect(suspectedRuns(residuals(none, none))).toEqual([]);
    expect(suspectedRuns(residuals(none, (point, frame) => (point === 1 && frame === 90 ? 60 : 0)))).toEqual(
      [],
    );
    expect(suspectedRuns(residuals((frame) => 12 * Math.exp(-(((frame - 80) / 9) ** 2)), none))).toEqual([]);
    const found = suspectedRuns(
      residuals(none, (point, frame) => (point === 2 && frame > 60 && frame < 75 ? 6 : 0)),
    );
    expect(found[0]?.marks.map(({ frame }) => frame)).toEqual(Array.from({ length: 14 }, (_, i) => 61 + i));
    expect(found[0]?.marks.every(({ point }) => point === 2)).toBe(true);
  });
});
