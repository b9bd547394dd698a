import { describe, expect, it } from "vitest";
import type { CurveEstimate } from "../../../src/shared/curve/estimate-curve.ts";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { stackOfCurve } from "../../../src/shared/figures/stack-of-curve.ts";

const look = { theme: "print", width: 720, height: 640, fontFamily: "sans-serif", caption: true } as const;
const points = Array.from({ length: 9 }, (_, i) => ({
  time: i / 8,
  value: { value: i, u: 0.1 },
  rate: i === 4 ? null : { value: i < 4 ? 1 : -1, u: 0.05 },
  acceleration: { value: 0, u: 1 },
}));
const estimate: CurveEstimate = {
  points,
  changes: [
    {
      time: { value: 0.55, u: 0.02 },
      kind: "rate",
      probability: 1,
      jumps: [null, { value: -2, u: 0.1 }, null],
    },
  ],
  errors: { size: 0.1, stated: false, lag: 0 },
  samples: 9,
};
const samples = points.map(({ time, value }) => ({ time, value: value.value }));
const names = { id: "bench", name: "Force", unit: "N" };

describe("the stack of a curve", () => {
  const stack = stackOfCurve(names, samples, estimate);

  it("has value, rate and acceleration in their units, bands of k = 2, rings at the samples", () => {
    expect(stack.panels.map(({ quantity, unit }) => [quantity, unit])).toEqual([
      ["Force", "N"],
      ["Rate", "N/s"],
      ["Acceleration", "N/s²"],
    ]);
    expect(stack.panels[0]!.bands[0]!.points[2]).toEqual([0.25, 1.8, 2.2]);
    expect(stack.panels.map(({ dots }) => dots.length)).toEqual([9, 0, 0]);
    expect(stack.caption).toBe(
      "Rings: the samples. Bands: k = 2. Dashed: change points, shaded by their standard uncertainty.",
    );
  });

  it("breaks a line where it jumps and where it is open, and no other", () => {
    const gaps = stack.panels.map(({ lines }) => lines[0]!.points.filter(([, y]) => Number.isNaN(y)).length);
    expect(gaps).toEqual([0, 2, 0]);
  });

  it("shows one ring in so many of a long log, and says so", () => {
    const long = Array.from({ length: 1000 }, (_, i) => ({ time: i / 1000, value: 1 }));
    const { caption, panels } = stackOfCurve(names, long, { ...estimate, changes: [] });
    expect(panels[0]!.dots).toHaveLength(334);
    expect(caption).toBe("Rings: one sample in 3. Bands: k = 2.");
  });
});

describe("drawn", () => {
  const svg = figureSvg(stackOfCurve(names, samples, estimate), look);

  it("three panels stand below each other over one axis of time, the change through all of them", () => {
    const headings = [...svg.matchAll(/<text x="14" y="([\d.]+)" font-size="13.5"/g)].map(([, y]) =>
      Number(y),
    );
    expect(headings).toHaveLength(3);
    expect(headings[1]! - headings[0]!).toBeCloseTo(headings[2]! - headings[1]!, 1);
    expect(svg.match(/stroke-dasharray="3 3"/g)).toHaveLength(3);
    expect(svg.match(/<circle /g)).toHaveLength(9);
    expect(svg).toContain("<title>Force, its rate and its acceleration against time</title>");
    expect(svg).toMatch(/>time <tspan font-style="italic">t<\/tspan>, s</);
    expect(svg).not.toMatch(/NaN|Infinity| style="/);
  });

  it("is drawn in small as well, inside its paper", () => {
    const small = figureSvg(stackOfCurve(names, samples, estimate), { ...look, width: 240, height: 260 });
    const ys = [...small.matchAll(/ y[12]?="(-?[\d.]+)"/g)].map(([, y]) => Number(y));
    expect(Math.max(...ys)).toBeLessThanOrEqual(260);
    expect(small).not.toMatch(/NaN/);
  });
});
