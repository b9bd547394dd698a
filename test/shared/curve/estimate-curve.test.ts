import { describe, expect, it } from "vitest";
import {
  type CurveEstimate,
  type CurveSample,
  estimateCurve,
} from "../../../src/shared/curve/estimate-curve.ts";
import { spend, withinBudget } from "../../../src/shared/numeric/work-budget.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

function record(count: number, at: (x: number) => number, size: number, seed = 1): CurveSample[] {
  const chance = createChance(seed);
  return Array.from({ length: count }, (_, i) => {
    const time = i / (count - 1);
    return { time, value: at(time) + size * chance.normal() };
  });
}

const estimate = (samples: readonly CurveSample[], options = {}): CurveEstimate =>
  unwrap(estimateCurve(samples, options));
const kink = (x: number) => 3 * Math.abs(x - 0.53);

describe("a parabola", () => {
  const found = estimate(record(60, (x) => 4 + 3 * x - 5 * x * x, 0.01, 2));

  it("has its value, rate and acceleration within their u, and errors of their size", () => {
    const { value, rate, acceleration } = found.points[30]!;
    const x = found.points[30]!.time;
    for (const [one, truth] of [
      [value, 4 + 3 * x - 5 * x * x],
      [rate!, 3 - 10 * x],
      [acceleration!, -10],
    ] as const) {
      expect(Math.abs(one.value - truth)).toBeLessThan(2.5 * one.u);
    }
    // three standard deviations of a size found with 57 degrees of freedom
    expect(Math.abs(found.errors.size / 0.01 - 1)).toBeLessThan(3 / Math.sqrt(2 * 57));
    expect([found.errors.stated, found.errors.lag]).toEqual([false, 0]);
    expect(found.changes).toEqual([]);
  });

  it("has u that no free curve has less than: that of a parabola in the middle, 3σ/(2√n), and up", () => {
    const ideal = (0.01 * 1.5) / Math.sqrt(60);
    expect(found.points[30]!.value.u).toBeGreaterThan(0.95 * ideal);
    expect(found.points[30]!.value.u).toBeLessThan(2 * ideal);
  });
});

describe("units and axes", () => {
  const plain = record(80, (x) => Math.sin(5 * x) + (x > 0.53 ? 1 : 0), 0.05, 3);
  const found = estimate(plain);
  const same = (a: Measured | null, b: Measured | null, factor: number, shift = 0) => {
    expect(a!.value * factor + shift).toBeCloseTo(b!.value, 6);
    expect(a!.u * Math.abs(factor)).toBeCloseTo(b!.u, 6);
  };

  it("move with the values' zero and unit", () => {
    const other = estimate(plain.map(({ time, value }) => ({ time, value: 100 - 2 * value })));
    for (const i of [0, 17, 60]) {
      same(found.points[i]!.value, other.points[i]!.value, -2, 100);
      same(found.points[i]!.rate, other.points[i]!.rate, -2);
      same(found.points[i]!.acceleration, other.points[i]!.acceleration, -2);
    }
    same(found.changes[0]!.time, other.changes[0]!.time, 1);
    same(found.changes[0]!.jumps[0]!, other.changes[0]!.jumps[0]!, -2);
  });

  it("move with the clock's zero and unit", () => {
    const other = estimate(plain.map(({ time, value }) => ({ time: 50 + 4 * time, value })));
    same(found.points[20]!.value, other.points[20]!.value, 1);
    same(found.points[20]!.rate, other.points[20]!.rate, 1 / 4);
    same(found.points[20]!.acceleration, other.points[20]!.acceleration, 1 / 16);
    same(found.changes[0]!.time, other.changes[0]!.time, 4, 50);
  });

  it("stay when time runs the other way, with rates of the other sign", () => {
    const smooth = { changes: false, errors: "white" } as const;
    const [there, back] = [
      estimate(plain, smooth),
      estimate(
        plain.map(({ time, value }) => ({ time: -time, value })),
        smooth,
      ),
    ];
    for (const i of [0, 30, 79]) {
      const [a, b] = [there.points[i]!, back.points[79 - i]!];
      expect(b.value.value / a.value.value).toBeCloseTo(1, 4);
      expect(b.rate!.value / a.rate!.value).toBeCloseTo(-1, 3);
      expect(b.acceleration!.u / a.acceleration!.u).toBeCloseTo(1, 3);
    }
  });

  it("take the samples in any order, and the mean of those at one time", () => {
    const shuffled = [...plain].reverse();
    expect(estimate(shuffled)).toEqual(found);
    const [first] = plain as [CurveSample];
    const twice = [
      { ...first, value: first.value - 0.3 },
      ...plain.slice(1),
      { ...first, value: first.value + 0.3 },
    ];
    const other = estimate(twice);
    expect(other.samples).toBe(80);
    expect(other.points[40]!.value.value).toBeCloseTo(found.points[40]!.value.value, 2);
  });
});

describe("change points", () => {
  it("a kink is found with its time and the jump of its rate, and the rate breaks there", () => {
    const found = estimate(record(120, kink, 0.01));
    expect(found.changes).toHaveLength(1);
    const [{ kind, time, jumps, probability }] = found.changes as [CurveEstimate["changes"][number]];
    expect([kind, jumps[0]]).toEqual(["rate", null]);
    expect(Math.abs(time.value - 0.53)).toBeLessThan(2 * time.u);
    expect(Math.abs(jumps[1]!.value - 6)).toBeLessThan(2 * jumps[1]!.u);
    expect(probability).toBeGreaterThan(0.99);
    const [before, after] = [found.points[50]!.rate!, found.points[75]!.rate!];
    expect(Math.abs(before.value + 3)).toBeLessThan(2 * before.u);
    expect(Math.abs(after.value - 3)).toBeLessThan(2 * after.u);
    expect(before.u).toBeLessThan(0.2);
  });

  it("a push between rest and flight has both of its ends, neither likely without the other", () => {
    const push = (x: number) => 5 * Math.min(Math.max(x - 0.3, 0), 0.3) ** 2 + 3 * Math.max(x - 0.6, 0);
    const { changes } = estimate(record(200, push, 0.001));
    expect(changes.map(({ kind }) => kind)).toEqual(["acceleration", "acceleration"]);
    for (const [i, truth, jump] of [
      [0, 0.3, 10],
      [1, 0.6, -10],
    ] as const) {
      const { time, jumps } = changes[i]!;
      expect(Math.abs(time.value - truth)).toBeLessThan(2.5 * time.u);
      expect(Math.abs(jumps[2]!.value - jump)).toBeLessThan(2.5 * jumps[2]!.u);
    }
  });

  it("many are found: a saw of eight teeth", () => {
    const saw = (x: number) => 4 * ((7.98 * x) % 1);
    const { changes, errors } = estimate(record(400, saw, 0.1));
    expect(changes.map(({ kind }) => kind)).toEqual(Array.from({ length: 7 }, () => "value"));
    changes.forEach(({ time }, i) => {
      expect(Math.abs(time.value - (i + 1) / 7.98)).toBeLessThan(2.5 / 400);
    });
    expect(errors.size).toBeCloseTo(0.1, 1);
  });

  it("a smoothness that changes by itself is one too: an acceleration that wanders little, then much", () => {
    const chance = createChance(11);
    let [value, rate, acceleration] = [0, 0, 0];
    const samples = Array.from({ length: 400 }, (_, i) => {
      acceleration += (i < 200 ? 1e-5 : 1e-2) * chance.normal();
      rate += acceleration;
      value += rate;
      return { time: i, value: value + 0.1 * chance.normal() };
    });
    const { changes, points } = estimate(samples);
    expect(changes).toHaveLength(1);
    const [{ time }] = changes as [CurveEstimate["changes"][number]];
    expect(Math.abs(time.value - 200)).toBeLessThan(Math.max(8, 2.5 * time.u));
    expect(points[100]!.acceleration!.u).toBeLessThan(0.1 * points[300]!.acceleration!.u);
  });

  it("a fast exponential rise is one busy stretch, not parabolas that are too sure of their acceleration", () => {
    const rise = (x: number) => (x < 0.12 ? 0 : 9.5 * (1 - Math.exp(-(x - 0.12) / 0.015)));
    for (const seed of [1, 2, 3]) {
      const { points } = estimate(record(480, rise, 0.12, seed));
      for (const { time, rate, acceleration } of points) {
        if (time < 0.128 || time > 0.16) continue;
        const e = Math.exp(-(time - 0.12) / 0.015);
        expect(Math.abs(rate!.value - (9.5 / 0.015) * e) / rate!.u).toBeLessThan(4.5);
        expect(Math.abs(acceleration!.value + (9.5 / 0.015 ** 2) * e) / acceleration!.u).toBeLessThan(4.5);
      }
    }
  });

  it("a stray sample jumps there and back, and leaves the rest of the curve as it is", () => {
    for (const seed of [1, 3, 5, 13]) {
      const stray = record(300, (x) => Math.sin(10 * x), 0.05, seed).map((one, i) =>
        i === 100 || i === 200 ? { ...one, value: one.value + 4 } : one,
      );
      const { changes, points, errors } = estimate(stray);
      expect(changes.map(({ kind }) => kind)).toEqual(["value", "value", "value", "value"]);
      expect(errors.size).toBeLessThan(0.07);
      expect(points.filter(({ rate }) => rate === null).length).toBeLessThan(6);
      expect(points[150]!.rate!.u).toBeLessThan(1);
    }
  });

  it("are not found in a smooth curve, in nothing but noise, or where they are not looked for", () => {
    for (let seed = 1; seed <= 10; seed++) {
      expect(estimate(record(100, (x) => Math.sin(6 * x), 0.1, seed)).changes).toEqual([]);
      expect(estimate(record(100, () => 0, 0.1, seed)).changes).toEqual([]);
    }
    expect(estimate(record(120, kink, 0.01), { changes: false }).changes).toEqual([]);
  });

  it("leave the acceleration beside a kink open for as long as the kink may have taken", () => {
    const { points, changes } = estimate(record(120, kink, 0.03));
    const open = points.filter(({ acceleration }) => acceleration === null).map(({ time }) => time);
    const [{ time, jumps }] = changes as [CurveEstimate["changes"][number]];
    // d with d³ J²/320 = 4 σ², d and σ² in spacings of 1/119
    const half = (4 * 320 * (0.03 / jumps[1]!.value) ** 2 * (1 / 119)) ** (1 / 3) / 2;
    expect(open.length).toBeGreaterThan(3);
    expect(Math.max(...open.map((t) => Math.abs(t - time.value)))).toBeLessThan(1.3 * half);
    expect(points.filter((one) => Math.abs(one.time - time.value) < 0.7 * half && one.acceleration)).toEqual(
      [],
    );
  });

  it("of a sparse record leave what its few samples do not determine wide or open", () => {
    const { points } = estimate(record(24, (x) => (x < 0.45 ? 0 : x < 0.56 ? 5 : 0), 0.02));
    const between = points.filter(({ time }) => time > 0.45 && time < 0.56);
    expect(between.length).toBe(2);
    for (const { rate, acceleration } of between) {
      expect(rate === null || rate.u > 1).toBe(true);
      expect(acceleration === null || acceleration.u > 20).toBe(true);
    }
  });
});

describe("errors", () => {
  const lasting = (phi: number, seed: number) => {
    const chance = createChance(seed);
    let error = chance.normal();
    return Array.from({ length: 300 }, (_, i) => {
      error = phi * error + Math.sqrt(1 - phi * phi) * chance.normal();
      return { time: i / 300, value: Math.sin(7 * (i / 300)) + 0.05 * error };
    });
  };

  it("that last are told from white ones, and widen the band", () => {
    const found = estimate(lasting(0.7, 5));
    expect(found.errors.lag).toBeGreaterThan(0.5);
    expect(found.errors.lag).toBeLessThan(0.85);
    const white = estimate(lasting(0.7, 5), { errors: "white" });
    expect(white.errors.lag).toBe(0);
    // (1 + φ)/(1 - φ) of the variance at frequency 0
    expect(found.points[150]!.value.u).toBeGreaterThan(1.5 * estimate(lasting(0, 5)).points[150]!.value.u);
    expect(estimate(lasting(0, 5)).errors.lag).toBe(0);
  });

  it("as stated count as stated: less certain samples for less, and u of another size alters the band", () => {
    const samples = record(60, (x) => x, 0.01);
    const stated = (u: (i: number) => number) => estimate(samples.map((one, i) => ({ ...one, u: u(i) })));
    const even = stated(() => 0.01);
    expect(even.errors).toEqual({ size: 1, stated: true, lag: 0 });
    expect(stated((i) => (i < 30 ? 0.01 : 0.05)).points[50]!.value.u).toBeGreaterThan(
      1.5 * even.points[50]!.value.u,
    );
  });

  it("of values without any are taken to be a millionth of their spread, not nought", () => {
    const { points, errors } = estimate(record(50, (x) => 3 + 2 * x, 0));
    expect(errors.size).toBeGreaterThan(0);
    expect(points[25]!.value.u).toBeGreaterThan(0);
    expect(points[25]!.rate!.value).toBeCloseTo(2, 4);
  });
});

describe("gaps", () => {
  it("are wide in between and bear on nothing else", () => {
    const whole = record(200, (x) => Math.sin(8 * x), 0.02);
    const gap = whole.filter(({ time }) => time < 0.4 || time > 0.6);
    const [a, b] = [estimate(whole), estimate(gap)];
    const edge = b.points.findIndex(({ time }) => time > 0.6);
    expect(b.points[edge]!.acceleration!.u).toBeGreaterThan(1.2 * a.points[100]!.acceleration!.u);
    expect(b.points[20]!.value.u / a.points[20]!.value.u).toBeCloseTo(1, 0);
  });
});

describe("what will not do", () => {
  it("is refused: too few different times, with how many would do", () => {
    const few = estimateCurve(record(15, (x) => x, 0.1));
    expect(few).toEqual({ ok: false, code: "too-few", numbers: { distinct: 15, needed: 16 } });
    const stated = record(5, (x) => x, 0.1).map((one) => ({ ...one, u: 0.1 }));
    expect(estimateCurve(stated)).toEqual({
      ok: false,
      code: "too-few",
      numbers: { distinct: 5, needed: 6 },
    });
    expect(estimateCurve(record(6, (x) => x, 0.1).map((one) => ({ ...one, u: 0.1 }))).ok).toBe(true);
  });

  it("is refused: values without scatter, unless their u is stated", () => {
    const flat = record(30, () => 5, 0);
    expect(estimateCurve(flat)).toEqual({ ok: false, code: "constant", numbers: {} });
    expect(estimateCurve(flat.map((one) => ({ ...one, u: 0.1 }))).ok).toBe(true);
  });

  it("throws for numbers that are none, u of 0, and u for some samples only", () => {
    const samples = record(30, (x) => x, 0.1);
    const with0 = (one: Partial<CurveSample>) => () =>
      estimateCurve([{ ...samples[0]!, ...one }, ...samples.slice(1)]);
    expect(with0({ value: Number.NaN })).toThrow(
      new RangeError("estimateCurve: need finite samples with u > 0; got 0, NaN, undefined"),
    );
    expect(with0({ time: Number.POSITIVE_INFINITY })).toThrow(RangeError);
    expect(with0({ u: 0.1 })).toThrow("need u for all samples or none; got 1 of 30");
    expect(() => estimateCurve(samples.map((one) => ({ ...one, u: 0 })))).toThrow(RangeError);
  });
});

describe("the work", () => {
  const steps = (count: number) => stepsOf(record(count, (x) => Math.sin(20 * x) + kink(x), 0.05));
  /** What the estimate takes of a budget: all that is not left of it afterwards. */
  function stepsOf(samples: readonly CurveSample[]): number {
    const budget = 2 ** 24;
    let left = 0;
    withinBudget({ evaluations: budget }, () => {
      expect(estimateCurve(samples).ok).toBe(true);
      for (; ; left++) spend(1); // until it ends this
    });
    return budget - left;
  }

  it("is in proportion to the samples: twice as many take less than two and a half times the steps", () => {
    const [one, two, four] = [1000, 2000, 4000].map(steps) as [number, number, number];
    expect(two / one).toBeLessThan(2.5);
    expect(four / two).toBeLessThan(2.5);
  });
});
