import { describe, expect, it } from "vitest";
import { scoreOf } from "../../../src/shared/curve/curve-likelihood.ts";
import type { CurveModel, CurveRecord } from "../../../src/shared/curve/curve-model.ts";
import { likeliestLag } from "../../../src/shared/curve/error-lag.ts";
import { scannedSmoothness, smoothnessFit } from "../../../src/shared/curve/smoothness-fit.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

const plain: CurveModel = { changes: [], logSmoothness: [0], lag: 0, jumps: [100, 10, 1] };

function recordOf(count: number, at: (x: number) => number, size: number, lag = 0): CurveRecord {
  const chance = createChance(4);
  let error = chance.normal();
  return {
    times: Float64Array.from({ length: count }, (_, i) => i),
    values: Float64Array.from({ length: count }, (_, i) => {
      error = lag * error + Math.sqrt(1 - lag * lag) * chance.normal();
      return at(i / count) + size * error;
    }),
    sizes: new Float64Array(count).fill(1),
    leastVariance: 1e-30,
  };
}

describe("the likeliest smoothness", () => {
  const record = recordOf(150, (x) => Math.sin(9 * x), 0.1);
  const whole = { from: 0, to: 150 };
  const found = scannedSmoothness(record, plain, whole, "found")!;
  const scoreAt = (log: number) => scoreOf(record, { ...plain, logSmoothness: [log] }, whole, "found")!.score;

  it("is where the restricted likelihood is greatest", () => {
    const [log] = found.model.logSmoothness as [number];
    const here = scoreAt(log);
    expect(found.score).toBeCloseTo(here, 9);
    for (const step of [-2, -0.3, 0.3, 2]) expect(scoreAt(log + step)).toBeGreaterThan(here);
    // within a few hundredths of the least, by a scan
    const scanned = Array.from({ length: 81 }, (_, i) => scoreAt(log - 2 + i / 20));
    expect(here - Math.min(...scanned)).toBeLessThan(0.05);
  });

  it("finds the errors' size, and how well it is known itself: its log to about the root of 2 over the looks", () => {
    expect(Math.sqrt(found.variance)).toBeCloseTo(0.1, 1);
    const [log] = found.model.logSmoothness as [number];
    const sd = Math.sqrt(2 / found.looks[0]!);
    const rise = scoreAt(log + sd) - found.score;
    expect(rise).toBeGreaterThan(0.4);
    expect(rise).toBeLessThan(2.5);
  });

  it("of a parabola shows next to no wandering, and of two groups each has its own", () => {
    const line = recordOf(150, (x) => 3 * x * x, 0.1);
    expect(scannedSmoothness(line, plain, whole, "found")!.looks[0]).toBeLessThan(1.5);
    const busy = recordOf(300, (x) => (x < 0.5 ? 0 : Math.sin(60 * (x - 0.5))), 0.05);
    const two: CurveModel = {
      ...plain,
      changes: [{ time: 149.5, kind: "rate", group: 1 }],
      logSmoothness: [-10, -10],
    };
    const fit = smoothnessFit(busy, two, { from: 0, to: 300 }, "found", 10)!;
    expect(fit.model.logSmoothness[1]! - fit.model.logSmoothness[0]!).toBeGreaterThan(5);
  });
});

describe("how long errors last", () => {
  it("is found by the likelihood, clearly for errors that do and hardly for white ones", () => {
    for (const [lag, gain] of [
      [0.7, 20],
      [0, 0],
    ] as const) {
      const record = recordOf(300, (x) => Math.sin(7 * x), 0.1, lag);
      const white = scannedSmoothness(record, plain, { from: 0, to: 300 }, "found")!;
      const found = likeliestLag(record, white.model, "found")!;
      expect(Math.abs(found.lag - lag)).toBeLessThan(0.2);
      if (gain > 0) expect(white.score - found.score).toBeGreaterThan(gain);
      else expect(white.score - found.score).toBeLessThan(6.25);
    }
  });
});
