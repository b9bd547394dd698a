import { expect, it } from "vitest";
import { findHangingLines } from "../../../src/shared/propose/find-hanging-lines.ts";
import { findTargets } from "../../../src/shared/propose/find-targets.ts";
import { scoreProposals } from "../../support/score-proposals.ts";
import { targetScene } from "../../support/target-scene.ts";

it("finds all of the targets of some cluttered scenes, at most one false outline a scene, middles within 0.1 px", () => {
  // The forty scenes of acceptance are in the bench; these are a sample that costs little.
  const score = scoreProposals([1, 5, 8, 21].map((seed) => targetScene(seed)));
  expect(score.foundTargets / score.targets).toBeGreaterThanOrEqual(0.95);
  expect(score.mostFalse).toBeLessThanOrEqual(1);
  expect(score.worstPx).toBeLessThan(0.1);
  expect(score.rmsOfPulls).toBeLessThan(1.2); // the stated u is not too small
  expect(score.foundLines / score.scenes).toBeGreaterThanOrEqual(0.8);
  expect(score.worstLinePx).toBeLessThan(0.5);
});

it("finds nothing in a plain picture, and no line in a wall's edge, a slanted wire or a pole that leaves the picture", () => {
  const [width, height] = [200, 160];
  const drawn = (shade: (x: number, y: number) => number) => ({
    width,
    height,
    data: Float32Array.from({ length: width * height }, (_, i) => shade(i % width, Math.floor(i / width))),
  });
  expect(findTargets(drawn(() => 120))).toEqual([]);
  const wall = drawn((x) => (x < 90 ? 60 : 180));
  const wire = drawn((x, y) => (Math.abs(x - 60 - 0.3 * y) < 1.5 && y > 10 && y < 150 ? 20 : 160));
  const pole = drawn((x) => (Math.abs(x - 100) < 1.5 ? 20 : 160));
  expect([wall, wire, pole].flatMap(findHangingLines)).toEqual([]);
  const cord = drawn((x, y) => (Math.abs(x - 100.3 - 0.02 * y) < 1.5 && y > 10 && y < 140 ? 20 : 160));
  const [line] = findHangingLines(cord);
  expect(line!.bottom[0] - line!.top[0]).toBeCloseTo(0.02 * (line!.bottom[1] - line!.top[1]), 0);
});
