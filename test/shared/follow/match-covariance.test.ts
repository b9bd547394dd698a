import { describe, expect, it } from "vitest";
import type { GreyImage } from "../../../src/shared/follow/grey-image.ts";
import { correlatedCovariance, whiteCovariance } from "../../../src/shared/follow/match-covariance.ts";
import { matchTemplate } from "../../../src/shared/follow/match-template.ts";
import { templateAt } from "../../../src/shared/follow/template.ts";
import { cubicSpline } from "../../../src/shared/numeric/cubic-spline.ts";
import { type Chance, createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { draw, HEIGHT, WIDTH } from "./moving-target.ts";

const clean = draw([{ x: 100.5, y: 70.5 }], 1, 0);
const template = templateAt(clean, [100, 70], 12)!;

/**
 * Noise of sd 3, each sample's own, or shared with its neighbours as a coder leaves it: the mean of 3 x 3.
 */
function noisy(chance: Chance, alike: boolean): GreyImage {
  const white = Float64Array.from({ length: WIDTH * HEIGHT }, () => chance.normal());
  const at = (i: number) => white[(i + white.length) % white.length] as number;
  const data = Float64Array.from(clean.data, (grey, i) => {
    if (!alike) return (grey as number) + 3 * at(i);
    let sum = 0;
    for (const dy of [-1, 0, 1]) for (const dx of [-1, 0, 1]) sum += at(i + dy * WIDTH + dx);
    return (grey as number) + sum; // nine of variance 1: sd 3
  });
  return { data, width: WIDTH, height: HEIGHT };
}

const COUNT = 300;

function simulated(alike: boolean, seed: number) {
  const chance = createChance(seed);
  let [square, white, correlated] = [0, 0, 0];
  for (let k = 0; k < COUNT; k++) {
    const image = noisy(chance, alike);
    const start = { x: 100.2, y: 69.9, theta: 0 };
    const match = unwrap(matchTemplate(template, cubicSpline(image), start, { tolerance: 1e-5 }));
    square += (match.x - 100) ** 2 / COUNT;
    white += (whiteCovariance(match, match.residual)[0] as number) / COUNT;
    correlated += (correlatedCovariance(template, match)[0] as number) / COUNT;
  }
  return { sd: Math.sqrt(square), white: Math.sqrt(white), correlated: Math.sqrt(correlated) };
}

describe("correlatedCovariance", () => {
  it("is that of independent samples where the noise is so, to a tenth", () => {
    const { sd, correlated } = simulated(false, 7);
    expect(Math.abs(correlated / sd - 1)).toBeLessThan(0.15); // the sd of 300 alone is good to 4 %
  });

  it("holds where neighbours err alike, while independent samples would be said to err half as much", () => {
    const { sd, white, correlated } = simulated(true, 8);
    expect(white / sd).toBeLessThan(0.65);
    expect(correlated / sd).toBeGreaterThan(0.7);
    expect(correlated / sd).toBeLessThan(1.2);
  });

  it("turns with the template: x and y change places at a quarter turn", () => {
    const match = unwrap(
      matchTemplate(template, cubicSpline(noisy(createChance(2), false)), { x: 100, y: 70, theta: 0 }),
    );
    const [a, b] = [
      whiteCovariance({ ...match, theta: 0 }, 1),
      whiteCovariance({ ...match, theta: Math.PI / 2 }, 1),
    ];
    expect(b[0]).toBeCloseTo(a[4] as number, 15);
    expect(b[4]).toBeCloseTo(a[0] as number, 15);
    expect(b[1]).toBeCloseTo(-(a[1] as number), 15);
    expect(b[8]).toBeCloseTo(a[8] as number, 15);
  });
});

describe("both covariances, of a template turned by an odd angle", () => {
  /**
   * Sample covariance of errors drawn along the template's axes and carried into the picture as a
   * match carries its steps.
   */
  function drawnTurned(own: Float64Array, theta: number): Float64Array {
    const chance = createChance(21);
    const draws = 40_000;
    const l = choleskyOf(own);
    const sums = new Float64Array(9);
    for (let k = 0; k < draws; k++) {
      const [p, q, r] = [chance.normal(), chance.normal(), chance.normal()];
      const across = l.xx * p;
      const down = l.yx * p + l.yy * q;
      const turn = l.tx * p + l.ty * q + l.tt * r;
      const error = [
        Math.cos(theta) * across - Math.sin(theta) * down,
        Math.sin(theta) * across + Math.cos(theta) * down,
        turn,
      ];
      for (let i = 0; i < 3; i++)
        for (let j = 0; j < 3; j++) sums[3 * i + j]! += (error[i]! * error[j]!) / draws;
    }
    return sums;
  }

  function choleskyOf(m: Float64Array) {
    const xx = Math.sqrt(m[0]!);
    const [yx, tx] = [m[3]! / xx, m[6]! / xx];
    const yy = Math.sqrt(m[4]! - yx ** 2);
    const ty = (m[7]! - yx * tx) / yy;
    return { xx, yx, yy, tx, ty, tt: Math.sqrt(m[8]! - tx ** 2 - ty ** 2) };
  }

  // Noise that is worse down than across, and errors of place and turn that belong together: no
  // axis can stand for another.
  const match = unwrap(
    matchTemplate(template, cubicSpline(noisy(createChance(2), false)), { x: 100, y: 70, theta: 0 }),
  );
  const inverse = Float64Array.from(match.inverse);
  const own = [4, 1.1, 0.3, 1.1, 1, -0.2, 0.3, -0.2, 0.5];
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) inverse[5 * i + j] = own[3 * i + j]!;

  it.each([0.5, -1.1, 2.6])("is what errors drawn along its axes are in the picture, at %f rad", (theta) => {
    const [straight, turned] = [
      whiteCovariance({ ...match, inverse, theta: 0 }, match.gain),
      whiteCovariance({ ...match, inverse, theta }, match.gain),
    ];
    const drawn = drawnTurned(straight, theta);
    // An entry of 40 000 draws is good to sqrt((C_ii C_jj + C_ij²)/n), one standard error; five are allowed.
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        const error = Math.sqrt((turned[4 * i]! * turned[4 * j]! + turned[3 * i + j]! ** 2) / 40_000);
        expect(Math.abs(turned[3 * i + j]! - drawn[3 * i + j]!)).toBeLessThan(5 * error);
      }
    }
  });

  it("turns the correlated one the same way", () => {
    const straight = correlatedCovariance(template, { ...match, theta: 0 });
    const turned = correlatedCovariance(template, { ...match, theta: 0.5 });
    const [cos, sin] = [Math.cos(0.5), Math.sin(0.5)];
    const [xx, xy, yy] = [straight[0]!, straight[1]!, straight[4]!];
    expect(turned[0]! / (cos * cos * xx - 2 * sin * cos * xy + sin * sin * yy)).toBeCloseTo(1, 10);
    expect(turned[2]! / (cos * straight[2]! - sin * straight[5]!)).toBeCloseTo(1, 10);
  });
});
