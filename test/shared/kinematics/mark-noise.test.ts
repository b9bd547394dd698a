import { describe, expect, it } from "vitest";
import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import {
  lasting,
  type MarkNoise,
  markNoise,
  WHITE_NOISE,
} from "../../../src/shared/kinematics/mark-noise.ts";
import type { PlaneResidual } from "../../../src/shared/kinematics/mark-residuals.ts";
import { motionEstimates } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { type Chance, createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { AXIS, FILMED, SHOT, simulatedMarks } from "./simulated-shot.ts";

const FRAMES = 400;
const U = 0.5e-3;
const DIRECTION = 0.4;

/** An AR(1) of variance 1. */
function movement(chance: Chance, lag: number): number[] {
  let now = chance.normal();
  return Array.from({ length: FRAMES }, (_, frame) => {
    if (frame > 0) now = lag * now + Math.sqrt(1 - lag * lag) * chance.normal();
    return now;
  });
}

/** What is left of a series once its slowest cosines are taken out, as a fit of so many coefficients does. */
function unfollowed(series: readonly number[], coefficients: number): number[] {
  const left = [...series];
  for (let k = 0; k < coefficients; k++) {
    const wave = series.map((_, i) => Math.cos((Math.PI * k * (i + 0.5)) / series.length));
    const square = wave.reduce((sum, w) => sum + w * w, 0);
    const size = wave.reduce((sum, w, i) => sum + w * series[i]!, 0) / square;
    wave.forEach((w, i) => {
      left[i] = left[i]! - size * w;
    });
  }
  return left;
}

/** Residuals of points in every frame: own errors with a correlation, and what each frame adds to all. */
function residuals(
  points: number,
  {
    lag = 0,
    along = 1,
    across = 1,
    shake = 0,
    shakeLag = 0,
    followed = 0,
    seed = 1,
  }: Partial<Record<string, number>>,
): readonly PlaneResidual[] {
  const chance = createChance(seed);
  const fresh = Math.sqrt(1 - lag * lag);
  const state = Array.from({ length: points }, () => [chance.normal(), chance.normal()]);
  const [cos, sin] = [Math.cos(DIRECTION), Math.sin(DIRECTION)];
  const moved = [0, 1].map(() => unfollowed(movement(chance, shakeLag), followed).map((x) => shake * x));
  return Array.from({ length: FRAMES }, (_, frame) => {
    const [moveS, moveN] = [moved[0]![frame]!, moved[1]![frame]!];
    return state.map((own, point): PlaneResidual => {
      own[0] = lag * own[0]! + fresh * chance.normal();
      own[1] = lag * own[1]! + fresh * chance.normal();
      const [s, n] = [U * along * own[0] + moveS, U * across * own[1] + moveN];
      const [dx, dy] = [cos * s - sin * n, sin * s + cos * n];
      const mark: PlaneMark = { point, frame, timeS: frame / 960, x: 0, y: 0, u: U };
      return { mark, dx, dy, z: Math.hypot(dx, dy) / U };
    });
  }).flat();
}
const noiseOf = (points: number, of: Parameters<typeof residuals>[1]): MarkNoise =>
  markNoise(residuals(points, of), DIRECTION, [of.followed ?? 0, of.followed ?? 0]);

describe("markNoise", () => {
  it("calls white noise white in at least 36 of 40 sets", () => {
    let white = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const noise = noiseOf(3, { seed });
      if (JSON.stringify(noise) === JSON.stringify(WHITE_NOISE)) white++;
    }
    expect(white).toBeGreaterThanOrEqual(36);
  });

  it.each([0.3, 0.5, 0.8])(
    "finds errors that last with a correlation of %d, in marks of one point too",
    (lag) => {
      // an AR(1) coefficient from 400 frames is good to sqrt((1 - lag²)/400) for each point and axis
      const sd = Math.sqrt((1 - lag * lag) / FRAMES);
      expect(Math.abs(noiseOf(4, { lag }).lag - lag)).toBeLessThan(3 * sd);
      expect(Math.abs(noiseOf(1, { lag }).lag - lag)).toBeLessThan(3 * sd);
    },
  );

  it("finds errors three times as large along as across", () => {
    const { along, across } = noiseOf(3, { along: 3, across: 1 });
    expect(along / across).toBeGreaterThan(7);
    expect(along / across).toBeLessThan(11);
    expect((along + across) / 2).toBeCloseTo(1, 12);
  });

  it("tells what the marks of a frame share from what each has of its own", () => {
    const shake = 0.4e-3;
    const { common, lag } = noiseOf(4, { shake });
    for (const variance of common) {
      // relative to own errors of variance U², which the fit finds for itself
      expect(Math.sqrt(variance) / shake).toBeGreaterThan(0.85);
      expect(Math.sqrt(variance) / shake).toBeLessThan(1.2);
    }
    expect(lag).toBe(0);
  });

  it("counts a movement that lasts as what it was before a fit followed most of it", () => {
    // The slowest tenth of frequencies holds four fifths of an AR(1) of 0.9; 19 times its variance counts.
    const shake = 0.8e-3;
    for (const seed of [1, 2, 3]) {
      const { common, commonLag } = noiseOf(4, { shake, shakeLag: 0.9, followed: 40, seed });
      for (const variance of common) {
        expect(Math.sqrt(variance / lasting(0.9)) / shake).toBeGreaterThan(0.5);
        expect(Math.sqrt(variance / lasting(0.9)) / shake).toBeLessThan(1.5);
      }
      for (const lag of commonLag) expect(lag).toBeGreaterThan(0.6);
    }
  });

  it("widens by the spectrum at zero frequency: three times the variance at a correlation of a half", () => {
    expect(lasting(0)).toBe(1);
    expect(lasting(0.5)).toBeCloseTo(3, 12);
  });
});

describe("a fit to marks whose errors last", () => {
  it("holds the launch angle within 2 u in at least 26 of 30 shots at a correlation of 0.6", () => {
    let inside = 0;
    for (let seed = 1; seed <= 30; seed++) {
      const chance = createChance(900 + seed);
      const state = [0, 0, 0, 0].map(() => U * chance.normal());
      const marks = simulatedMarks({ ...FILMED, noiseM: 0 }).map((mark) => {
        for (const i of [2 * mark.point, 2 * mark.point + 1]) {
          state[i] = 0.6 * state[i]! + 0.8 * U * chance.normal();
        }
        return { ...mark, x: mark.x + state[2 * mark.point]!, y: mark.y + state[2 * mark.point + 1]! };
      });
      const { direction } = motionEstimates(
        unwrap(fitMotion({ marks, axis: AXIS, release: { by: "change-point" } })),
      );
      if (Math.abs(direction.value - SHOT.directionRad) <= 2 * direction.u) inside++;
    }
    expect(inside).toBeGreaterThanOrEqual(26);
  });
});
