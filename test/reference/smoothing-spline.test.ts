import { describe, expect, it } from "vitest";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { smoothingSpline } from "./smoothing-spline.ts";

const uneven = Array.from({ length: 40 }, (_, i) => 3 + 0.1 * i + 0.03 * Math.sin(5 * i));
const wavy = uneven.map((at, i) => Math.cos(2 * at) + 0.1 * (((31 * i) % 17) / 17 - 0.5));
const u = uneven.map((_, i) => 0.02 + 0.03 * ((i * 7) % 5));

describe("smoothingSpline", () => {
  it("by hand: λ of the kink (0, 0), (1, 1), (2, 0), (3, 0) tied to a line makes f'' jump as the residuals say", () => {
    // The spline's third derivative jumps at a datum by (y - f)/λ: the condition that makes the sum least.
    const spline = smoothingSpline([0, 1, 2, 3], [0, 1, 0, 0], { lambda: 0.3 });
    const third = (i: number) => spline.at(i + 0.75, 2) * 2 - spline.at(i + 0.25, 2) * 2;
    expect((third(1) - third(0)) * 0.3).toBeCloseTo(1 - spline.fitted[1]!, 12);
    expect((third(2) - third(1)) * 0.3).toBeCloseTo(0 - spline.fitted[2]!, 12);
    expect(spline.at(0, 2)).toBe(0);
    expect(spline.at(3, 2)).toBe(0);
  });

  it("is least: any bent neighbour has a larger weighted sum plus λ ∫ f''²", () => {
    const lambda = 2e-3;
    const spline = smoothingSpline(uneven, wavy, { u, lambda });
    const cost = (f: (at: number) => number, second: (at: number) => number) => {
      const misfit = uneven.reduce((sum, at, i) => sum + ((wavy[i]! - f(at)) / u[i]!) ** 2, 0);
      // f'' is piecewise linear for the spline and smooth for the bend: Simpson's rule on fine steps
      let bending = 0;
      for (let i = 0; i + 1 < uneven.length; i++) {
        const [a, b] = [uneven[i]!, uneven[i + 1]!];
        const steps = 20;
        for (let k = 0; k < steps; k++) {
          const [s, e] = [a + ((b - a) * k) / steps, a + ((b - a) * (k + 1)) / steps];
          bending += ((e - s) / 6) * (second(s) ** 2 + 4 * second((s + e) / 2) ** 2 + second(e) ** 2);
        }
      }
      return misfit + lambda * bending;
    };
    const least = cost(spline.at, (at) => spline.at(at, 2));
    for (const size of [0.003, -0.003]) {
      for (const w of [0.7, 2, 5]) {
        const bent = cost(
          (at) => spline.at(at) + size * Math.sin(w * at),
          (at) => spline.at(at, 2) - size * w * w * Math.sin(w * at),
        );
        expect(bent).toBeGreaterThan(least);
      }
    }
  });

  it("has as leverage what a datum moved by 1 moves its own value, and as tr H their sum, for uneven x and u", () => {
    const lambda = 5e-4;
    const spline = smoothingSpline(uneven, wavy, { u, lambda });
    for (const i of [0, 1, 17, 38, 39]) {
      const moved = smoothingSpline(uneven, wavy.with(i, wavy[i]! + 1), { u, lambda });
      expect(moved.fitted[i]! - spline.fitted[i]!).toBeCloseTo(spline.leverage[i]!, 9);
    }
    expect(spline.leverage.reduce((sum, h) => sum + h, 0)).toBeCloseTo(spline.freedom, 10);
  });

  it("goes straight where data lie on a line, also beyond them, and says so", () => {
    const line = uneven.map((at) => 2 - 0.7 * at);
    const spline = smoothingSpline(uneven, line, { lambda: 1 });
    for (const at of [-4, 3, 4.321, 30]) {
      expect(spline.at(at)).toBeCloseTo(2 - 0.7 * at, 9);
      expect(spline.at(at, 1)).toBeCloseTo(-0.7, 9);
    }
  });

  it("says that it is straight, and that it interpolates, where the data are so", () => {
    // A residual that flips from datum to datum: no bending follows it, so the stiffest
    // curve cross-validates best.
    const flipping = uneven.map((at, i) => 2 - 0.7 * at + (i % 2 === 0 ? 0.01 : -0.01));
    const straight = smoothingSpline(uneven, flipping);
    expect(straight.end).toBe("straight");
    expect(straight.freedom).toBeCloseTo(2, 1);
    const exact = smoothingSpline(
      uneven,
      uneven.map((at) => at ** 3),
    );
    expect(exact.end).toBe("interpolates");
    expect(exact.freedom).toBeGreaterThan(39.9);
  });

  it("chooses the same curve in other units of x, y and u, and for data turned round", () => {
    const plain = smoothingSpline(uneven, wavy, { u });
    const other = smoothingSpline(
      uneven.map((at) => 1e6 + 1e3 * at),
      wavy.map((one) => 50 * one),
      { u: u.map((one) => 50 * one) },
    );
    const back = smoothingSpline(uneven.map((at) => -at).reverse(), wavy.slice().reverse(), {
      u: u.slice().reverse(),
    });
    uneven.forEach((at, i) => {
      expect(other.fitted[i]! / 50).toBeCloseTo(plain.fitted[i]!, 6);
      expect(back.at(-at)).toBeCloseTo(plain.fitted[i]!, 6);
    });
    expect(other.sigma).toBeCloseTo(plain.sigma, 6);
  });

  it("has 95 % bands by Wahba that hold a smooth truth in 92 to 97.5 % of the points of 100 seeded sets of 80", () => {
    const chance = createChance(8);
    const at = Array.from({ length: 80 }, (_, i) => i / 79);
    const truth = (t: number) => Math.sin(7 * t) + t * t;
    let [held, all, noise] = [0, 0, 0];
    for (let set = 0; set < 100; set++) {
      const spline = smoothingSpline(
        at,
        at.map((t) => truth(t) + 0.1 * chance.normal()),
      );
      noise += spline.sigma / 100;
      at.forEach((t, i) => {
        all++;
        if (Math.abs(spline.fitted[i]! - truth(t)) < 1.96 * spline.standardError[i]!) held++;
      });
    }
    // Coverage across the points of one set goes up and down together: its sd over 100 sets is about 1 %.
    expect(held / all).toBeGreaterThan(0.92);
    expect(held / all).toBeLessThan(0.975);
    expect(Math.abs(noise / 0.1 - 1)).toBeLessThan(0.03);
  });

  it("smooths 5 000 points, which dense equations could not", () => {
    const many = Array.from({ length: 5_000 }, (_, i) => i * 4e-3);
    const spline = smoothingSpline(
      many,
      many.map((t, i) => Math.sin(t) + 0.1 * (((7919 * (i + 1)) % 101) / 101 - 0.5)),
    );
    expect(spline.end).toBe("within");
    expect(spline.at(Math.PI / 2)).toBeCloseTo(1, 2);
  });

  it("throws RangeError on what does not fit, with what it got", () => {
    expect(() => smoothingSpline([0, 1, 2], [0, 1, 2])).toThrow(/length >= 4; got 3/);
    expect(() => smoothingSpline([0, 1, 1, 2], [0, 1, 2, 3])).toThrow(/x must increase.* at 2/);
    expect(() => smoothingSpline([0, 1, 2, 3], [0, 1, Number.NaN, 3])).toThrow(RangeError);
    expect(() => smoothingSpline([0, 1, 2, 3], [0, 1, 2, 3], { u: [1, 1, 0, 1] })).toThrow(/u > 0/);
    expect(() => smoothingSpline([0, 1, 2, 3], [0, 1, 2, 3], { lambda: 0 })).toThrow(/lambda > 0; got 0/);
  });
});
