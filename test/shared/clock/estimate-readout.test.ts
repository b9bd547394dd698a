import { describe, expect, it } from "vitest";
import { estimateReadout, type MovingEdge } from "../../../src/shared/clock/estimate-readout.ts";
import { apparentSpeedRatio } from "../../../src/shared/clock/rolling-shutter.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const HEIGHT = 1080;
const UPRIGHT = { value: 0, u: 0.001 };

/** Marks every 80 px along an edge that leans and moves to the right while rows are read. */
function edge(speed: number, rowS: number, leanRad = 0, uMark = 0, seed = 1, uSpeed = 0): MovingEdge {
  const chance = createChance(seed);
  const points = Array.from({ length: 12 }, (_, i) => {
    const y = 90 + 80 * i;
    const x = 400 + Math.tan(leanRad) * y + speed * rowS * y + uMark * chance.normal();
    return { x, y, u: uMark || 0.3 };
  });
  return { points, speedPxPerS: { value: speed + uSpeed * chance.normal(), u: uSpeed } };
}

describe("estimateReadout", () => {
  it("finds 10 µs a row where 9000 px/s lean an upright edge by 0.090", () => {
    const { rowS, readoutS, leanRad, straightness } = unwrap(
      estimateReadout([edge(9000, 10e-6)], UPRIGHT, HEIGHT),
    );
    expect(rowS.value).toBeCloseTo(10e-6, 12);
    expect(readoutS.value).toBeCloseTo(10.8e-3, 9);
    expect(leanRad.value).toBeCloseTo(0, 9);
    expect(straightness).toBeCloseTo(0, 6);
    // By hand: slope of 12 points 80 px apart, Sxx = 143 · 80², u = 0.3; with the lean's 1 mrad.
    const uSlope = 0.3 / Math.sqrt(143 * 80 ** 2);
    expect(rowS.u).toBeCloseTo(Math.hypot(uSlope, 0.001) / 9000, 14);
  });

  it("gives a negative readout when rows are read upwards, and takes a known lean out", () => {
    const lean = { value: 0.05, u: 0.001 };
    const { rowS } = unwrap(estimateReadout([edge(-7000, -12e-6, 0.05)], lean, HEIGHT));
    expect(rowS.value).toBeCloseTo(-12e-6, 12);
  });

  it("tells lean and readout apart by itself from edges that move both ways", () => {
    const unknown = { value: 0, u: 0.2 };
    const both = [edge(6000, 9e-6, 0.08), edge(-5000, 9e-6, 0.08)];
    const { rowS, leanRad } = unwrap(estimateReadout(both, unknown, HEIGHT));
    expect(rowS.value).toBeCloseTo(9e-6, 9);
    expect(leanRad.value).toBeCloseTo(0.08, 4);
    expect(estimateReadout(both.slice(0, 1), unknown, HEIGHT)).toMatchObject({ ok: false, code: "too-slow" });
  });

  it("states a u that 1500 seeded estimates bear out to 6 %, over three standard errors of a sample sd", () => {
    const z = Array.from({ length: 1500 }, (_, seed) => {
      const edges = [edge(6000, 9e-6, 0, 0.4, seed, 120), edge(4000, 9e-6, 0, 0.4, seed + 5000, 80)];
      const { rowS } = unwrap(estimateReadout(edges, { value: 0, u: 0 }, HEIGHT));
      return (rowS.value - 9e-6) / rowS.u;
    });
    // Marks that scatter more than said by chance widen u, so the spread lies a little under 1:
    // by E √max(1, χ²/20), 6 %.
    const sd = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
    expect(sd).toBeGreaterThan(0.94 * 0.94);
    expect(sd).toBeLessThan(1.06);
  });

  it("refuses a slow edge with the speed that would do, and one with too few points", () => {
    const refused = estimateReadout([edge(200, 10e-6)], UPRIGHT, HEIGHT);
    expect(refused).toMatchObject({ ok: false, code: "too-slow", numbers: { speedPxPerS: 200 } });
    const needed = refused.ok ? 0 : (refused.numbers.neededPxPerS as number);
    expect(estimateReadout([edge(needed * 1.01, 10e-6)], UPRIGHT, HEIGHT).ok).toBe(true);
    expect(estimateReadout([edge(needed * 0.99, 10e-6)], UPRIGHT, HEIGHT).ok).toBe(false);
    expect(estimateReadout([edge(0, 10e-6)], UPRIGHT, HEIGHT)).toMatchObject({ code: "too-slow" });
    const two = { ...edge(9000, 10e-6), points: edge(9000, 10e-6).points.slice(0, 2) };
    expect(estimateReadout([two], UPRIGHT, HEIGHT)).toMatchObject({ code: "too-few-points" });
    expect(() => estimateReadout([], UPRIGHT, HEIGHT)).toThrow(/0 edges/);
  });

  it("shows a bent edge in the straightness", () => {
    const straight = edge(9000, 10e-6);
    const bent = {
      ...straight,
      points: straight.points.map((p) => ({ ...p, x: p.x + 5e-5 * (p.y - 530) ** 2 })),
    };
    expect(unwrap(estimateReadout([bent], UPRIGHT, HEIGHT)).straightness).toBeGreaterThan(5);
  });
});

it("apparentSpeedRatio throws when the point outruns the reading", () => {
  expect(() => apparentSpeedRatio(120_000, 10e-6)).toThrow(/outruns/);
});
