import { describe, expect, it } from "vitest";
import { nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import { isRefused, type NextShotReport } from "../../../src/shared/next-shot/next-shot-report.ts";
import type { ShotSpeed } from "../../../src/shared/next-shot/repeats.ts";
import { speedInterval } from "../../../src/shared/next-shot/speed-interval.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { NextShot, RamLauncher, Session } from "../../../src/shared/session/schema.ts";
import fc from "../../support/drawn-inputs.ts";
import { ofNext } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { ramSession, ramShot, WING } from "./ram-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const NOW = { value: 5e5, u: 0 };

function ask(part: Partial<NextShot> & { speed?: number } = {}): NextShot {
  const { speed, ...rest } = part;
  return {
    speedMPerS: speed === undefined ? null : exactly(speed),
    choose: "pressure",
    leastStallMargin: null,
    ...rest,
  };
}

function speedAt(session: Session, gaugePa: number): number {
  return predictShot(session, ramShot(exactly(gaugePa))).prediction!.quantities.releaseSpeed!.value;
}

const codes = ({ notices }: NextShotReport) => notices.map(({ level, code }) => `${level} ${code}`);
const stateOf = ({ limits }: NextShotReport, name: string) => limits.find((one) => one.name === name)?.state;

describe("nextShot: the setting", () => {
  it("finds the pressure again from the speed predicted there: solve(predict(p)) = p", () => {
    const session = ramSession();
    fc.assert(
      fc.property(fc.double({ min: 1.5e5, max: 11e5, noNaN: true }), (gaugePa) => {
        const report = nextShot(session, ramShot(NOW), ask({ speed: speedAt(session, gaugePa) }), []);
        // The model itself is good to 1e-8; speed goes about as the root of pressure, which doubles it.
        expect(Math.abs(report.answer!.setting.value / gaugePa - 1)).toBeLessThan(1e-7);
        expect(report.answer!.others).toEqual([]);
      }),
      { seed: 4, numRuns: 12 },
    );
  });

  it.each([
    [
      "mass",
      1.7,
      (s: Session, x: number): Session =>
        oneOfEach({ ...s, airframe: { ...firstOf(s).airframe, massKg: exactly(x) } }),
    ],
    [
      "stroke",
      0.6,
      (s: Session, x: number): Session =>
        oneOfEach({
          ...s,
          launcher: { ...(firstOf(s).launcher as RamLauncher), strokeM: exactly(x) },
        }),
    ],
  ] as const)("finds the %s again from the speed predicted there", (choose, x, changed) => {
    const session = ramSession();
    const there = predictShot(changed(session, x), ramShot(NOW)).prediction!.quantities.releaseSpeed!.value;
    const report = nextShot(session, ramShot(NOW), ask({ speed: there, choose }), []);
    expect(report.answer!.setting.value).toBeCloseTo(x, 6);
    expect(report.answer!.slope * (choose === "mass" ? -1 : 1)).toBeGreaterThan(0);
  });

  it("says how far off it could be: the speed's doubt without the gauge's, over the slope", () => {
    const session = ramSession({}, {}, 1);
    const gauge = { value: 5e5, u: 8000 };
    const { answer } = nextShot(session, ramShot(gauge), ask({ speed: 14 }), []);
    const at = (u: number) =>
      predictShot(session, ramShot({ value: answer!.setting.value, u })).prediction!.quantities.releaseSpeed!;
    expect(answer!.setting.u).toBeCloseTo(at(0).u / answer!.slope, 6);
    expect(answer!.speed.value).toBeCloseTo(14, 6);
    expect(answer!.speed.u).toBe(at(8000).u);
    // the slope over a thousandth of the range against the propagation's over one u: both
    // central, curvature apart
    expect(Math.hypot(at(0).u, answer!.slope * 8000) / answer!.speed.u).toBeCloseTo(1, 3);
  });

  it("takes the gauge of the other shots where this one has no pressure yet", () => {
    const session = { ...ramSession(), shots: [ramShot({ value: 4e5, u: 5000 }, "before")] };
    const report = nextShot(session, ramShot(null), ask({ speed: 13 }), []);
    expect(report.setting!.now).toBeNull();
    expect(report.limits.find(({ name }) => name === "rating")!.value!.u).toBe(5000);
  });

  it("gives the chart's curve and no answer when no speed is wanted, with the limits as the shot stands", () => {
    const report = nextShot(ramSession(), ramShot(NOW), ask(), []);
    expect(report.answer).toBeNull();
    expect(report.notices).toEqual([]);
    expect(stateOf(report, "rating")).toBe("inside");
    const speeds = report.curve.flat().map(({ speed }) => speed);
    expect(speeds).toEqual([...speeds].sort((a, b) => a - b)); // more pressure, more speed
  });
});

describe("nextShot: what cannot be had", () => {
  it("refuses a speed out of reach, naming the field and what the launcher reaches", () => {
    const report = nextShot(ramSession(), ramShot(NOW), ask({ speed: 60 }), []);
    expect(report.answer).toBeNull();
    expect(codes(report)).toEqual([ofNext("refusal speed-out-of-reach")]);
    const fastest = speedAt(ramSession(), 12.5e5); // the range ends a quarter above the rating
    expect(report.reach!.fastest.speed).toBeCloseTo(fastest, 9);
    expect(report.notices[0]!.cause).toContain("Tank pressure, gauge: no value from 0.125 bar to 12.5 bar");
    expect(report.notices[0]!.cause).toContain(`to ${fastest.toPrecision(3)} m/s`);
  });

  it.each([
    ["no launcher", null, "pressure", ofNext("no-launcher")],
    ["a throw by hand", { kind: "no-model", name: "arm" } as const, "pressure", ofNext("no-model")],
    ["the draw of a ram", firstOf(ramSession()).launcher, "draw", ofNext("not-on-this-launcher")],
    ["the motor of a ram", firstOf(ramSession()).launcher, "motor", ofNext("not-on-this-launcher")],
  ] as const)("refuses %s", (_, launcher, choose, code) => {
    const report = nextShot(
      oneOfEach({ ...ramSession(), launcher }),
      ramShot(NOW),
      ask({ speed: 13, choose }),
      [],
    );
    expect(codes(report)).toEqual([`refusal ${code}`]);
    expect(report.setting).toBeNull();
  });

  it("passes on why the model cannot predict at all", () => {
    const noMass = nextShot(ramSession({}, { massKg: null }), ramShot(NOW), ask({ speed: 13 }), []);
    expect(codes(noMass)).toEqual([ofNext("refusal no-airframe-mass")]);
    const noGauge = nextShot(ramSession(), ramShot(null), ask({ speed: 13, choose: "stroke" }), []);
    expect(codes(noGauge)).toEqual([ofNext("refusal no-gauge-pressure")]);
    const stuck = nextShot(ramSession({ breakawayN: exactly(1e6) }), ramShot(NOW), ask({ speed: 13 }), []);
    expect(codes(stuck)).toEqual([ofNext("refusal never-moves")]);
  });
});

it("isRefused tells from the report itself whether there is what was asked for", () => {
  const of = (session: Session, speed?: number) =>
    nextShot(session, ramShot(NOW), ask(speed === undefined ? {} : { speed }), []);
  expect(isRefused(of(ramSession()))).toBe(false); // nothing was asked for
  expect(isRefused(of(ramSession(), 13))).toBe(false);
  expect(isRefused(of(ramSession(), 60))).toBe(true); // out of reach
  expect(isRefused(of(ramSession({}, { loadLimitG: exactly(2) }), 13))).toBe(true); // outside a limit
  expect(isRefused(of(oneOfEach({ ...ramSession(), launcher: null })))).toBe(true);
  expect(isRefused(of(ramSession({ breakawayN: exactly(1e6) })))).toBe(true); // it never launches
});

describe("nextShot: what the prediction warns of", () => {
  const small = ramSession({ tankVolumeM3: { value: 0.3e-3, u: 0 } }, WING);
  const asked = (speed?: number, gaugePa: number | null = 4e5) =>
    nextShot(
      small,
      ramShot(gaugePa === null ? null : exactly(gaugePa)),
      ask(speed === undefined ? {} : { speed }),
      [],
    );
  const codesOf = ({ cautions, limits }: NextShotReport) =>
    [...cautions, ...limits.flatMap(({ notice }) => notice ?? [])].map(({ code }) => code);

  it("is all said at the answer, each thing once", () => {
    const report = asked(5);
    const there = predictShot(small, ramShot(exactly(report.answer!.setting.value))).notices;
    expect(there.length).toBeGreaterThan(4);
    const said = codesOf(report);
    for (const { code } of there) expect(said.filter((one) => one === code)).toHaveLength(1);
    expect(said).toContain(ofNext("leaves-early"));
    expect(said).toContain(ofNext("below-stall"));
  });

  it("is said of the launch as it is set where the speed cannot be had, or none is wanted", () => {
    const said = [...new Set(predictShot(small, ramShot(exactly(4e5))).notices.map(({ code }) => code))];
    expect(codesOf(asked(400))).toEqual(expect.arrayContaining(said));
    expect(codesOf(asked())).toEqual(expect.arrayContaining(said));
  });

  it("holds the launcher's own cautions where nothing can be predicted, or what is asked cannot be", () => {
    const own = ["stored-pressure", "end-stop", "people-down-range"];
    expect(codesOf(asked(-3))).toEqual(expect.arrayContaining(own));
    expect(codesOf(asked(400, null))).toEqual(expect.arrayContaining(own.slice(1)));
    expect(
      codesOf(nextShot(ramSession({}, { massKg: null }), ramShot(exactly(4e5)), ask({ speed: 7 }), [])),
    ).toEqual(expect.arrayContaining(own));
  });

  it("comes the gravest first", () => {
    const plastic = ramSession({ tankMaterial: "plastic-pipe", tankVolumeM3: exactly(0.3e-3) });
    const report = nextShot(plastic, ramShot(exactly(4e5)), ask({ speed: 7 }), []);
    expect(report.cautions.map(({ level }) => level).slice(0, 3)).toEqual(["danger", "warning", "note"]);
  });
});

describe("nextShot: a tank that no pressure is recommended for", () => {
  const of = (launcher: Partial<RamLauncher>, choose: NextShot["choose"] = "pressure", speed = 13) =>
    nextShot(ramSession(launcher), ramShot(NOW), ask({ speed, choose }), []);

  it.each([
    ["without a rating", { tankRatingPa: null }, ofNext("rating-first")],
    ["of plastic pipe", { tankMaterial: "plastic-pipe" }, ofNext("no-pressure-for-plastic")],
  ] as const)("%s: asks for that first, and leaves the curve to look at", (_name, launcher, code) => {
    for (const speed of [13, 60]) {
      const report = of(launcher, "pressure", speed);
      expect(codes(report)).toEqual([`refusal ${code}`]);
      expect(report).toMatchObject({ answer: null, inside: null, withheld: true });
      expect(report.curve.flat().length).toBeGreaterThan(30);
      expect(isRefused(report)).toBe(true);
    }
    // a mass or a stroke at the person's own pressure is another matter
    expect(of(launcher, "mass").answer).not.toBeNull();
  });

  it("holds a rating lowered for temperature and age, and looks no further than a quarter above it", () => {
    const report = of({ tankRatingPa: 10e5, ratingShare: 0.45 });
    expect(report.setting!.high).toBeCloseTo(1.25 * 4.5e5, 6);
    expect(report.inside!.fastest.x).toBeLessThanOrEqual(4.5e5);
    expect(report.inside!.fastest.bound).toEqual(["rating"]);
  });

  it("holds the relief valve's set point as a limit of its own, and has none where there is no valve", () => {
    const report = of({ reliefPa: 3e5 }, "pressure", 15);
    expect(report.inside!.fastest.bound).toEqual(["relief"]);
    expect(report.inside!.fastest.x).toBeCloseTo(3e5, -1);
    expect(stateOf(report, "relief")).toBe("outside");
    expect(stateOf(of({}), "relief")).toBeUndefined();
  });
});

describe("nextShot: a launcher that does not move", () => {
  it("says so where nothing moves up to a quarter above the rating, though it does at the pressure set", () => {
    const heavy = ramSession({ breakawayN: exactly(400), tankRatingPa: 2e5 });
    expect(speedAt(heavy, 5e5)).toBeGreaterThan(5);
    const report = nextShot(heavy, ramShot(NOW), ask({ speed: 10 }), []);
    expect(codes(report)).toEqual([ofNext("refusal nothing-launches"), ofNext("refusal never-moves")]);
    expect(report.notices[0]!.cause).toBe(
      "Tank pressure, gauge: nothing moves at any value from 0.0250 bar to 2.50 bar, a quarter above the tank's rating.",
    );
    expect(stateOf(report, "rating")).toBe("outside"); // as it is set
  });

  it("checks what limits it can where nothing moves as it is set", () => {
    const report = nextShot(ramSession({}, { loadLimitG: exactly(20) }), ramShot(exactly(1e3)), ask(), []);
    expect(codes(report)).toEqual([ofNext("refusal never-moves")]);
    expect([stateOf(report, "rating"), stateOf(report, "load")]).toEqual(["inside", "no-value"]);
  });
});

describe("nextShot: limits", () => {
  const stop = (ratedLoadN: number | null) => ({ endStop: { bufferTravelM: exactly(0.02), ratedLoadN } });
  const quantities = predictShot(ramSession(stop(null), WING), ramShot(NOW)).prediction!.quantities;
  const speed = quantities.releaseSpeed!.value; // at 5 bar

  it.each([
    ["rating", ramSession({ tankRatingPa: 4.9e5 }), null],
    ["load", ramSession({}, { loadLimitG: exactly(quantities.loadFactor!.value - 0.5) }), null],
    ["end-stop", ramSession(stop(quantities.endStopPeakForce!.value - 20)), null],
    ["base", ramSession({ baseRatedLoadN: quantities.peakBaseReaction!.value - 20 }), null],
    ["stall", ramSession({}, WING), quantities.stallMargin!.value + 0.05],
  ] as const)(
    "refuses a speed that passes the limit %s, and says that it binds",
    (name, session, leastStallMargin) => {
      const report = nextShot(session, ramShot(NOW), ask({ speed, leastStallMargin }), []);
      expect(stateOf(report, name)).toBe("outside");
      expect(report.limits.filter(({ state }) => state === "outside").map((one) => one.name)).toEqual([name]);
      expect(codes(report)).toEqual([ofNext("refusal outside-limits")]);
      expect(report.answer).toMatchObject({ insideLimits: false });
      expect(report.answer!.setting.value).toBeCloseTo(5e5, 0);
      const end = name === "stall" ? report.inside!.slowest : report.inside!.fastest;
      expect(end.bound).toEqual([name]);
      if (name === "stall") expect(end.speed).toBeGreaterThan(speed);
      else expect(end.speed).toBeLessThan(speed);
    },
  );

  it("gives as the greatest speed inside the rating the speed predicted at it, twice the gauge's u below", () => {
    const session = ramSession({ tankRatingPa: 6e5 });
    const report = nextShot(session, ramShot({ value: 5e5, u: 5000 }), ask({ speed: 20 }), []);
    const most = speedAt(session, 6e5 - 2 * 5000);
    // the border is closed in on to 2^-14 of a step, and may be moved inwards by steps of 1/2000 of the range
    // when read-off u was too small
    expect(report.inside!.fastest.speed).toBeLessThanOrEqual(most * (1 + 1e-9));
    expect(report.inside!.fastest.speed).toBeGreaterThan(0.998 * most);
  });

  it("keeps twice the uncertainty clear: inside the load limit by less is in doubt, and refused", () => {
    const load = quantities.loadFactor!.value;
    const limit = (u: number) => ramSession({}, { loadLimitG: { value: load + 1, u } });
    const of = (u: number) => nextShot(limit(u), ramShot(NOW), ask({ speed }), []);
    expect(stateOf(of(0.49), "load")).toBe("inside");
    expect(codes(of(0.49))).toEqual([]);
    expect(stateOf(of(0.51), "load")).toBe("in-doubt");
    expect(codes(of(0.51))).toEqual([ofNext("refusal outside-limits")]);
  });

  it("gives no slower greatest speed for a higher limit, nor a faster one for a higher asked margin", () => {
    const fastest = [15, 25, 35].map(
      (g) =>
        nextShot(ramSession({}, { loadLimitG: exactly(g) }), ramShot(NOW), ask(), []).inside!.fastest.speed,
    );
    expect(fastest).toEqual([...fastest].sort((a, b) => a - b));
    expect(new Set(fastest).size).toBe(3);
    const slowest = [1, 1.2, 1.5].map(
      (leastStallMargin) =>
        nextShot(ramSession({}, WING), ramShot(NOW), ask({ leastStallMargin }), []).inside!.slowest.speed,
    );
    expect(slowest).toEqual([...slowest].sort((a, b) => a - b));
  });

  it.each([
    ["pressure", 2500, 0],
    ["stroke", 2500, 0],
    ["pressure", 600, 2e4],
  ] as const)(
    "names as greatest speed one that is not refused when it is asked for: %s, base rated %d N",
    (choose, rated, gaugeU) => {
      const valve = { conductance: { value: 2e-7, u: 4e-8 }, criticalRatio: exactly(0.3) };
      const session = ramSession({
        baseRatedLoadN: rated,
        endStop: { bufferTravelM: { value: 0.02, u: 0.003 }, ratedLoadN: null },
        ...(gaugeU > 0 && { valve }),
      });
      const at = ramShot({ value: 4e5, u: gaugeU });
      const { inside } = nextShot(session, at, ask({ choose }), []);
      for (const { speed } of [inside!.slowest, inside!.fastest]) {
        const again = nextShot(session, at, ask({ choose, speed }), []);
        expect(again.answer!.insideLimits).toBe(true);
      }
      expect(inside!.fastest.bound).toContain("base");
    },
  );

  it("finds no setting where limits leave none", () => {
    const session = ramSession({}, { ...WING, loadLimitG: exactly(5) });
    const report = nextShot(session, ramShot(NOW), ask({ speed, leastStallMargin: 1.5 }), []);
    expect(report.inside).toBeNull();
    expect(report.notices[0]!.remedy).toBe("No setting keeps all limits.");
  });

  it("answers without wing data, and warns that the stall margin asked for cannot be checked", () => {
    const report = nextShot(ramSession(), ramShot(NOW), ask({ speed, leastStallMargin: 1.2 }), []);
    expect(report.answer).not.toBeNull();
    expect(stateOf(report, "stall")).toBe("no-value");
    expect(report.limits.find(({ name }) => name === "stall")!.notice).toMatchObject({
      level: "warning",
      remedy: "Enter wing area and greatest lift coefficient under Verdict.",
    });
    expect(report.stall).toEqual([]);
  });

  it("draws the stall's line where the margin is met: into 3 m/s of wind it is lower", () => {
    const session = ramSession({}, WING);
    const windy = { ...ramShot(NOW), conditions: { ...ramShot(NOW).conditions, headwindMPerS: exactly(3) } };
    const [still, wind] = [ramShot(NOW), windy].map((shot) => {
      const report = nextShot(session, shot, ask({ leastStallMargin: 1.2 }), []);
      const { inside, stall } = report;
      // where the curve leaves the forbidden end, it crosses the line
      expect(stall[0]!.speed).toBeCloseTo(inside!.slowest.speed, 3);
      return stall[0]!.speed;
    });
    expect(wind!).toBeLessThan(still! - 2);
  });
});

describe("nextShot: the interval", () => {
  const shotSpeed = (shotId: string, value: number): ShotSpeed => ({
    shotId,
    name: shotId,
    gaugePa: exactly(5e5),
    speed: { value, u: 0.05 },
    ownU: 0.03,
    commonU: 0.04,
  });
  const session = ramSession({}, {}, 1);

  it("holds the model's doubt alone while no scatter is known, with the normal's factor", () => {
    const { answer, scatter } = nextShot(session, ramShot(NOW), ask({ speed: 14 }), [shotSpeed("a", 14)]);
    expect(scatter).toBeNull();
    expect(answer!.interval).toMatchObject({ dof: null, u: answer!.speed.u });
    expect(answer!.interval.k).toBeCloseTo(1.959964, 6);
    expect(answer!.interval.high - 14).toBeCloseTo(1.959964 * answer!.speed.u, 6);
  });

  it("reaches no speed below 0", () => {
    expect(speedInterval({ value: 2, u: 3 }, null)).toMatchObject({ low: 0, high: expect.closeTo(7.88, 2) });
    expect(speedInterval({ value: 20, u: 3 }, null).low).toBeCloseTo(14.12, 2);
  });

  it("adds the scatter of repeated shots, with Welch and Satterthwaite's degrees of freedom", () => {
    const repeats = [shotSpeed("a", 14.0), shotSpeed("b", 14.4), shotSpeed("c", 14.2)];
    const { answer, scatter } = nextShot(session, ramShot(NOW), ask({ speed: 14 }), repeats);
    expect(scatter).toMatchObject({ from: "repeats", dof: 2, shots: 3 });
    expect(scatter!.relative).toBeCloseTo(0.2 / 14.2, 12);
    const s = (14 * 0.2) / 14.2;
    expect(answer!.interval.u).toBeCloseTo(Math.hypot(answer!.speed.u, s), 12);
    expect(answer!.interval.dof).toBeCloseTo(2 * (answer!.interval.u / s) ** 4, 9);
  });

  it("takes the scatter that tuning found, when the tuned values are in use", () => {
    const tuned = {
      values: [],
      correlation: [],
      undetermined: [],
      scatter: 0.012,
      shotCount: 6,
    };
    const tuning = { parameters: [], shotIds: [], heldOutShotIds: [], tuned, use: true };
    const of = (use: boolean) =>
      nextShot(oneOfEach({ ...session, tuning: { ...tuning, use } }), ramShot(NOW), ask({ speed: 14 }), [])
        .scatter;
    expect(of(true)).toEqual({ relative: 0.012, dof: 5, shots: 6, from: "tuning" });
    expect(of(false)).toBeNull();
  });

  it("gives the chance that the next shot is as wanted: half, when the tolerance is the interval's own 50 % half-width", () => {
    const first = nextShot(session, ramShot(NOW), ask({ speed: 14 }), []);
    const half = 0.6744898 * first.answer!.speed.u; // 75 % point of the normal distribution
    const { answer } = nextShot(session, ramShot(NOW), ask({ speedMPerS: { value: 14, u: half } }), []);
    expect(answer!.chanceAsWanted).toBeCloseTo(0.5, 6);
    expect(first.answer!.chanceAsWanted).toBeNull();
  });
});
