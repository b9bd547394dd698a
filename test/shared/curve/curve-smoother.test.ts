import { describe, expect, it } from "vitest";
import { filterCurve } from "../../../src/shared/curve/curve-filter.ts";
import type { CurveModel, CurveRecord } from "../../../src/shared/curve/curve-model.ts";
import { curveSteps } from "../../../src/shared/curve/curve-steps.ts";
import { smoothBothWays } from "../../../src/shared/curve/smooth-both-ways.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { denseCurve } from "./dense-curve.ts";

const chance = createChance(3);
const uneven: CurveRecord = {
  times: Float64Array.from([0, 0.7, 1.1, 2, 3.4, 4, 5.5, 5.6, 9, 9.8, 11]),
  values: Float64Array.from({ length: 11 }, () => chance.normal()),
  sizes: Float64Array.from([1, 0.8, 1.2, 1, 1, 2, 1, 0.5, 1, 1.1, 0.9]),
  leastVariance: 0,
};
const crowded: CurveRecord = {
  ...uneven,
  times: Float64Array.from([0, 1e-3, 2e-3, 3e-3, 3.4, 4, 5.5, 5.6, 9, 9.8, 11]),
};
const plain: CurveModel = { changes: [], logSmoothness: [Math.log(0.3)], lag: 0, jumps: [50, 20, 10] };

function byFilter(record: CurveRecord, model: CurveModel) {
  const stretch = { from: 0, to: record.times.length };
  const filtered = filterCurve(record, curveSteps(record, model, stretch), model.lag, model.jumps);
  const states = smoothBothWays(record, model, stretch)!;
  const of = (all: Float64Array) =>
    Array.from(record.times, (_, i) => Array.from(all.subarray(3 * i, 3 * i + 3)));
  return {
    score: filtered.logSum + filtered.squares,
    means: of(states.means),
    variances: of(states.variances),
    start: filtered.start!,
  };
}

const CASES: readonly [string, CurveRecord, CurveModel][] = [
  ["uneven times, white errors", uneven, plain],
  ["nearly a parabola", uneven, { ...plain, logSmoothness: [-60] }],
  ["hardly smooth", uneven, { ...plain, logSmoothness: [8] }],
  ["errors that last", uneven, { ...plain, lag: 0.6 }],
  ["a crowded start", crowded, plain],
  ["a crowded start with errors that last", crowded, { ...plain, lag: 0.6 }],
  [
    "jumps of acceleration and value, two smoothnesses",
    uneven,
    {
      ...plain,
      logSmoothness: [Math.log(0.3), -4],
      changes: [
        { time: 3.7, kind: "acceleration", group: 1 },
        { time: 8, kind: "value", group: 0 },
      ],
    },
  ],
  ["a kink on a sample", uneven, { ...plain, lag: 0.3, changes: [{ time: 4, kind: "rate", group: 0 }] }],
  [
    "a kink before the start is settled",
    uneven,
    { ...plain, changes: [{ time: 0.9, kind: "rate", group: 0 }] },
  ],
];

describe("filter and smoother against the model by brute force", () => {
  it.each(CASES)("agree: %s", (_, record, model) => {
    const found = byFilter(record, model);
    const dense = denseCurve(record, model);
    expect(found.score).toBeCloseTo(dense.score, 6);
    for (const [i, expected] of dense.means.entries()) {
      for (const k of [0, 1, 2]) {
        const sd = Math.sqrt(dense.variances[i]![k]!);
        expect(Math.abs(found.means[i]![k]! - expected[k]!)).toBeLessThan(
          1e-5 * (sd + Math.abs(expected[k]!)),
        );
        expect(found.variances[i]![k]! / dense.variances[i]![k]!).toBeCloseTo(1, 4);
      }
    }
  });

  it("keep the first steps flat until three samples lie apart", () => {
    expect(byFilter(uneven, plain).start.steps).toBe(4);
    expect(byFilter(crowded, plain).start.steps).toBeGreaterThan(5);
  });
});
