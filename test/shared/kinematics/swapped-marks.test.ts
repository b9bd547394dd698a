import { describe, expect, it } from "vitest";
import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { motionEstimates } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { PUSH_AXIS, simulatedPush } from "./simulated-push.ts";

const FILMING = {
  corners: [
    [0, 0],
    [0.02, 190],
    [0.08, 60],
  ],
  rateHz: 960,
  noiseM: 0.5e-3,
  restFrames: 18,
  flightFrames: 50,
} as const;

/** Two points exchanged in some frames. */
function exchanged(
  marks: readonly PlaneMark[],
  [a, b]: readonly [number, number],
  frames: ReadonlySet<number>,
) {
  return marks.map((mark) => {
    const other = mark.point === a ? b : mark.point === b ? a : null;
    return other !== null && frames.has(mark.frame) ? { ...mark, point: other } : mark;
  });
}

const fitOf = (marks: readonly PlaneMark[]) =>
  unwrap(fitMotion({ marks, axis: PUSH_AXIS, release: { by: "change-point" } }));

describe("fitMotion where points are marked for each other", () => {
  it("names the frames in which nose and tail are swapped, one or many in a row, and measures without them", () => {
    for (let seed = 1; seed <= 8; seed++) {
      const { marks } = simulatedPush({ ...FILMING, points: 2 + (seed % 2), seed });
      const row = Array.from({ length: 3 * seed }, (_, i) => 60 + i);
      const frames = new Set([0, 23, 24, 95, ...row, (marks.at(-1) as PlaneMark).frame]);
      const fit = fitOf(exchanged(marks, [0, 1], frames));
      expect(new Set(fit.swapped.map(([{ frame }]) => frame)), `seed ${seed}`).toEqual(frames);
      for (const pair of fit.swapped) expect(pair.map(({ point }) => point).sort()).toEqual([0, 1]);
      const without = fitOf(marks.filter(({ frame, point }) => point > 1 || !frames.has(frame)));
      const [found, left] = [motionEstimates(fit).speed, motionEstimates(without).speed];
      expect(Math.abs(found.value - left.value)).toBeLessThan(0.02 * left.u);
    }
  });

  it("names two points swapped that are not the ends of the pitch line", () => {
    const { marks } = simulatedPush({ ...FILMING, points: 4, seed: 3 });
    const frames = new Set([31, 77, 110]);
    const fit = fitOf(exchanged(marks, [2, 3], frames));
    expect(new Set(fit.swapped.map(([{ frame }]) => frame))).toEqual(frames);
    expect(fit.setAside).toHaveLength(6);
  });

  it("calls nothing swapped that is merely off, and nothing where all is well", () => {
    const { marks } = simulatedPush({ ...FILMING, points: 2, seed: 5 });
    const off = marks.map((mark) =>
      mark.frame === 50 ? { ...mark, y: mark.y + 0.04 * (1 - mark.point) } : mark,
    );
    expect(fitOf(marks).swapped).toEqual([]);
    const fit = fitOf(off);
    expect(fit.swapped).toEqual([]);
    expect(fit.setAside).toHaveLength(1);
  });
});
