import { describe, expect, it } from "vitest";
import { repeatability } from "../../../src/shared/next-shot/repeatability.ts";
import {
  repeatGroups,
  type ShotSpeed,
  scatterOf,
  shotSpeeds,
} from "../../../src/shared/next-shot/repeats.ts";
import { chanceWithin, speedInterval } from "../../../src/shared/next-shot/speed-interval.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Measurement, ShotResult } from "../../../src/shared/results/shot-result.ts";
import { ramSession, ramShot } from "./ram-session.ts";

const shot = (shotId: string, bar: number | null, value: number, uBar = 0.03): ShotSpeed => ({
  shotId,
  name: shotId,
  gaugePa: bar === null ? null : { value: bar * 1e5, u: uBar * 1e5 },
  speed: { value, u: 0.05 },
  ownU: 0.03,
  commonU: 0.04,
});

describe("repeatGroups", () => {
  it("joins shots whose pressures differ by no more than the u of the difference, from the lowest up", () => {
    const groups = repeatGroups(
      [shot("c", 5, 14), shot("a", 4, 12), shot("b", 4.04, 12.2), shot("d", 4.05, 12.1), shot("x", null, 9)],
      true,
    );
    // u of the difference 0.042 bar
    expect(groups.map(({ shots }) => shots.map(({ shotId }) => shotId))).toEqual([["a", "b"], ["d"], ["c"]]);
    expect(groups[0]!.gaugePa).toBeCloseTo(4.02e5, 6);
    expect(groups[0]!.repeatability!.n).toBe(2);
    expect(groups[1]!.repeatability).toBeNull();
  });

  it("joins equal readings of an exact gauge", () => {
    expect(repeatGroups([shot("a", 4, 12, 0), shot("b", 4, 12.2, 0)], true)).toHaveLength(1);
  });

  it("takes all shots of a launcher without a tank as one group", () => {
    const groups = repeatGroups([shot("a", null, 12), shot("b", null, 12.2)], false);
    expect(groups).toHaveLength(1);
    expect(groups[0]!.gaugePa).toBeNull();
    expect(repeatGroups([], false)).toEqual([]);
  });
});

describe("scatterOf", () => {
  it("pools relative scatter over groups, weighted by their degrees of freedom", () => {
    const groups = repeatGroups(
      [shot("a", 4, 10), shot("b", 4, 10.4), shot("c", 6, 20), shot("d", 6, 20.2), shot("e", 6, 20.4)],
      true,
    );
    // s/mean: 0.2828427/10.2 with 1, 0.2/20.2 with 2 degrees of freedom
    const pooled = Math.sqrt(((0.08 / 10.2 ** 2) * 1 + (0.04 / 20.2 ** 2) * 2) / 3);
    const scatter = scatterOf(undefined, groups)!;
    expect(scatter.relative).toBeCloseTo(pooled, 12);
    expect(scatter).toMatchObject({ dof: 3, shots: 5, from: "repeats" });
  });

  it("is what tuning found, from three shots on, while its values are in use and it found any", () => {
    const repeats = repeatGroups([shot("a", 4, 10), shot("b", 4, 10.4)], true);
    const tuned = (more: object, use = true) => {
      const values = { values: [], correlation: [], undetermined: [], scatter: 0.011, shotCount: 3, ...more };
      const tuning = { use, parameters: [], tuned: values };
      return scatterOf(tuning as never, repeats)!;
    };
    expect(tuned({})).toEqual({ relative: 0.011, dof: 2, shots: 3, from: "tuning" });
    expect(tuned({}, false).from).toBe("repeats");
    expect(tuned({ shotCount: 2 }).from).toBe("repeats");
    expect(tuned({ scatter: 0 }).from).toBe("repeats");
    const unused = { use: true, parameters: [], shotIds: [], heldOutShotIds: [], tuned: null };
    expect(scatterOf(unused, repeats)!.from).toBe("repeats");
    expect(scatterOf(unused, [])).toBeNull();
  });

  it("is null for single shots", () => {
    expect(scatterOf(undefined, repeatGroups([shot("a", 4, 10), shot("b", 5, 12)], true))).toBeNull();
  });
});

describe("shotSpeeds", () => {
  it("parts a speed's u into the shot's own (marks, release) and what it shares with the others", () => {
    const session = {
      ...ramSession(),
      shots: [ramShot({ value: 5e5, u: 3000 }), ramShot(null, "unmeasured")],
    };
    const measurement = {
      quantities: { releaseSpeed: { value: 14, u: 0.05, unit: "m/s", how: "" } },
      budget: {
        releaseSpeed: [
          { source: "marks", u: 0.024 },
          { source: "release", u: 0.018 },
          { source: "scale", u: 0.04 },
        ],
      },
    } as unknown as Measurement;
    const result = (shotId: string, one: Measurement | null): ShotResult => ({
      shotId,
      measurement: one,
      prediction: null,
      comparison: null,
      notices: [],
    });
    const speeds = shotSpeeds(session, session.shots[0]!, [
      result("shot-1", measurement),
      result("unmeasured", null),
    ]);
    expect(speeds).toHaveLength(1);
    expect(speeds[0]).toMatchObject({ shotId: "shot-1", gaugePa: { value: 5e5, u: 3000 } });
    const speedless = { ...measurement, quantities: {} };
    expect(shotSpeeds(session, session.shots[0]!, [result("shot-1", speedless)])).toEqual([]);
    expect(speeds[0]!.ownU).toBeCloseTo(0.03, 12);
    expect(speeds[0]!.commonU).toBeCloseTo(0.04, 12);
  });
});

describe("repeatability", () => {
  it("says nothing of fewer than two shots, and of equal ones that measuring explains all", () => {
    const one = { value: 14, ownU: 0.1, commonU: 0 };
    expect(repeatability([one])).toBeNull();
    expect(repeatability([])).toBeNull();
    expect(repeatability([one, one])).toMatchObject({ s: 0, measurementShare: 1, launcherS: 0 });
  });

  it("covers: 95 % of next shots and of means and of sigmas, over 2000 seeded groups of four", () => {
    const chance = createChance(12);
    const [mean, sigma, groups] = [14, 0.2, 2000];
    const draw = () => mean + sigma * chance.normal();
    const hits = { next: 0, mean: 0, sigma: 0 };
    for (let i = 0; i < groups; i++) {
      const r = repeatability(Array.from({ length: 4 }, () => ({ value: draw(), ownU: 0, commonU: 0 })))!;
      if (Math.abs(draw() - r.mean) <= r.nextHalfWidth) hits.next++;
      if (r.meanInterval[0] <= mean && mean <= r.meanInterval[1]) hits.mean++;
      if (r.sigmaInterval[0] <= sigma && sigma <= r.sigmaInterval[1]) hits.sigma++;
    }
    const tolerance = 4 * Math.sqrt((0.95 * 0.05) / groups); // four standard errors of the share
    for (const count of Object.values(hits)) expect(Math.abs(count / groups - 0.95)).toBeLessThan(tolerance);
  });

  it("throws RangeError on a caller's bug", () => {
    const good = { value: 14, ownU: 0.1, commonU: 0 };
    expect(() => repeatability([good, { ...good, ownU: -1 }])).toThrow(RangeError);
    expect(() => repeatability([good, { ...good, value: Number.NaN }])).toThrow(RangeError);
    expect(() => repeatability([good, good], 1)).toThrow(/coverage.*1/);
  });
});

describe("speedInterval and chanceWithin", () => {
  it("undo each other at the interval's own half-width", () => {
    const scatter = { relative: 0.02, dof: 3, shots: 4, from: "repeats" } as const;
    const interval = speedInterval({ value: 14, u: 0.1 }, scatter);
    expect(interval.dof).toBeCloseTo(3 * (Math.hypot(0.1, 0.28) / 0.28) ** 4, 9);
    expect(chanceWithin(interval.high - 14, interval)).toBeCloseTo(0.95, 6);
    expect(chanceWithin(0, interval)).toBe(0);
  });

  it("is a point where nothing is in doubt", () => {
    const interval = speedInterval({ value: 14, u: 0 }, null);
    expect(interval).toMatchObject({ low: 14, high: 14, dof: null });
    expect(chanceWithin(0.1, interval)).toBe(1);
  });
});

describe("repeatability of shots of several outings", () => {
  const speed = (value: number, ownU: number, parts: readonly (readonly [string, number])[]) => ({
    value,
    ownU,
    commonU: Math.hypot(...parts.map(([, u]) => u)),
    shared: parts.map(([by, u]) => ({ by, u })),
  });

  it("by hand: two and one with clocks of their own and one rod for all", () => {
    const one = repeatability([
      speed(14, 0.01, [
        ["rod", 0.04],
        ["clock a", 0.03],
      ]),
      speed(14.2, 0.01, [
        ["rod", 0.04],
        ["clock a", 0.03],
      ]),
      speed(14.1, 0.01, [
        ["rod", 0.04],
        ["clock b", 0.06],
      ]),
    ])!;
    // clock a: 0.03² · 2 (1 − 2/3)/2 = 3e-4; clock b: 0.06² · (1 − 1/3)/2 = 1.2e-3
    expect(one.measurementU ** 2).toBeCloseTo(1e-4 + 3e-4 + 1.2e-3, 12);
    // rod 0.04²; clocks 0.03² · 4/9 + 0.06²/9, less a third of what they add to the scatter
    expect(one.commonU ** 2).toBeCloseTo(1.6e-3 + 4e-4 + 4e-4 - 1.5e-3 / 3, 12);
  });

  it("is that of one outing where all share all", () => {
    const parts = [
      ["rod", 0.04],
      ["clock", 0.03],
    ] as const;
    const with_ = [14, 14.3, 14.1].map((value) => speed(value, 0.02, parts));
    const plain = with_.map(({ shared: _shared, ...rest }) => rest);
    const [a, b] = [repeatability(with_)!, repeatability(plain)!];
    for (const key of Object.keys(b) as (keyof typeof b)[]) {
      if (typeof b[key] === "number") expect(a[key], key).toBeCloseTo(b[key] as number, 14);
    }
  });
});
