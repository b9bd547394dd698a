import { describe, expect, it } from "vitest";
import { nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import { settingOf } from "../../../src/shared/next-shot/setting.ts";
import { launcherInUse } from "../../../src/shared/predict/launcher-in-use.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { RamLauncher, RocketLauncher, Session } from "../../../src/shared/session/schema.ts";
import { ofNext } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { calmShot, elasticSession, LINE } from "../predict/elastic-line.ts";
import { ramSession, ramShot } from "./ram-session.ts";
import { boost, motor } from "./rocket-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const wish = (value: number) => ({ speedMPerS: exactly(value), leastStallMargin: null });
const speedOf = (session: Session) =>
  predictShot(session, calmShot()).prediction!.quantities.releaseSpeed!.value;

describe("nextShot with an elastic line", () => {
  it("finds the draw again from the speed predicted there", () => {
    const session = elasticSession();
    const wanted = speedOf(elasticSession({ drawM: exactly(4.2) }));
    const report = nextShot(session, calmShot(), { ...wish(wanted), choose: "draw" }, []);
    expect(report.answer!.setting.value).toBeCloseTo(4.2, 6);
    expect(report.setting!.high).toBeCloseTo(6, 12); // no further than the force was measured
  });

  it("refuses a speed that takes more draw than was measured", () => {
    const most = speedOf(elasticSession({ drawM: exactly(6) }));
    const report = nextShot(elasticSession(), calmShot(), { ...wish(1.05 * most), choose: "draw" }, []);
    expect(report.notices.map(({ code }) => code)).toEqual([ofNext("speed-out-of-reach")]);
    expect(report.reach!.fastest.speed).toBeCloseTo(most, 6);
    expect(report.notices[0]!.cause).toContain("Draw of the line: no value from 0.275 m to 6.00 m");
  });

  it("holds the limits of line, anchor and carriage against it, none of a tank", () => {
    const report = nextShot(elasticSession(), calmShot(), { ...wish(8), choose: "mass" }, []);
    expect(report.limits.map(({ name }) => name)).toEqual([
      "load",
      "stretch",
      "anchor",
      "carriage-stop",
      "stall",
    ]);
    expect(LINE.kind).toBe("elastic-line");
    const bare = elasticSession({ carriageKg: exactly(0) });
    const stopless = nextShot(bare, calmShot(), { ...wish(8), choose: "mass" }, []);
    expect(stopless.limits.map(({ name }) => name)).toEqual(["load", "stretch", "anchor", "stall"]);
  });

  // 5.5 m of draw stretch 1.6 m by 3.4375, pull the anchor with 117.13 N, and bring 72.16 J into the stop.
  it.each([
    ["stretch", { freeLengthM: exactly(1.6), stretchLimit: 3.4 }, 3.4375],
    ["anchor", { anchorRatedLoadN: 117 }, 117.1264],
    ["carriage-stop", { endStop: { bufferTravelM: exactly(0.1), ratedLoadN: 1440 } }, 1443.146],
  ] as const)(
    "keeps the %s: refuses what passes it, and names the greatest speed that does not",
    (name, part, at) => {
      const session = elasticSession(part);
      const asked = { ...wish(speedOf(session)), choose: "draw" as const };
      const report = nextShot(session, calmShot(), asked, []);
      expect(report.answer).toMatchObject({ insideLimits: false });
      const check = report.limits.find((one) => one.name === name)!;
      expect(check).toMatchObject({ state: "outside", notice: { level: "danger" } });
      expect(check.value!.value).toBeCloseTo(at, 3);
      expect(report.inside!.fastest.bound).toEqual([name]);
      const kept = nextShot(session, calmShot(), { ...asked, ...wish(report.inside!.fastest.speed) }, []);
      expect(kept.answer).toMatchObject({ insideLimits: true });
      expect(kept.limits.find((one) => one.name === name)).toMatchObject({ state: "inside", notice: null });
    },
  );
});

describe("nextShot with rocket motors", () => {
  const pair = [motor("small", 12, 0.006), motor("large", 20, 0.011)];

  it("finds the thrust again: motors of 1.5 times the present thrust give the speed of 1.5 times the thrust", () => {
    const stronger = pair.map((one) => ({ ...one, thrustScale: exactly(1.5) }));
    const report = nextShot(
      boost(pair),
      calmShot(),
      { ...wish(speedOf(boost(stronger))), choose: "motor" },
      [],
    );
    expect(report.answer!.setting.value).toBeCloseTo(1.5, 6);
  });

  it("gives the speed with each kind of motor in every mount, the mass changed by the propellant", () => {
    const { motors } = nextShot(boost(pair), calmShot(), { ...wish(8), choose: "motor" }, []);
    expect(motors.map(({ name }) => name)).toEqual(["small", "large"]);
    const twoLarge = boost(
      [motor("large", 20, 0.011), { ...motor("large", 20, 0.011), id: "other" }],
      0.6 + 0.005,
    );
    expect(motors[1]!.speed!.value).toBeCloseTo(speedOf(twoLarge), 9);
    expect(motors[0]!.speed!.value).toBeLessThan(motors[1]!.speed!.value);
  });

  it("holds the load limit over the whole boost, not only on the cradle", () => {
    const late = motor("late", 12, 0.006);
    const peaks = {
      ...late,
      thrust: {
        by: "curve" as const,
        points: [
          [0, 0],
          [0.02, 12],
          [0.45, 12],
          [0.5, 80],
          [0.6, 0],
        ] as [number, number][],
      },
    };
    const session = boost([peaks]);
    const { loadFactor, boostLoadFactor, releaseSpeed } = predictShot(session, calmShot()).prediction!
      .quantities;
    expect(boostLoadFactor!.value).toBeGreaterThan(3 * loadFactor!.value);
    const limited = oneOfEach({
      ...session,
      airframe: {
        ...firstOf(session).airframe,
        loadLimitG: exactly(1.1 * loadFactor!.value),
      },
    });
    const report = nextShot(limited, calmShot(), { ...wish(releaseSpeed!.value), choose: "motor" }, []);
    expect(report.answer!.insideLimits).toBe(false);
    expect(report.limits.find(({ name }) => name === "load")).toMatchObject({
      state: "outside",
      value: { value: expect.closeTo(boostLoadFactor!.value, 4) },
    });
  });

  it("has no choice of motors where there is one kind", () => {
    const same = [motor("small", 12, 0.006), motor("small", 12, 0.006)];
    expect(nextShot(boost(same), calmShot(), { ...wish(8), choose: "motor" }, []).motors).toEqual([]);
  });

  it("finds the cradle's length again", () => {
    const session = boost(pair);
    const rail = { ...(firstOf(session).launcher as RocketLauncher), railM: exactly(1.4) };
    const longer = oneOfEach({ ...session, launcher: rail });
    const report = nextShot(session, calmShot(), { ...wish(speedOf(longer)), choose: "stroke" }, []);
    expect(report.answer!.setting.value).toBeCloseTo(1.4, 6);
  });
});

describe("a setting that tuning has a value of", () => {
  it("gives way to what is asked for, its value and its doubt", () => {
    const session = ramSession();
    const tuned = {
      values: [{ value: 0.7, u: 0.002 }],
      correlation: [[1]],
      undetermined: [],
      scatter: 0,
      shotCount: 3,
    };
    const tuning = { parameters: ["strokeM"], shotIds: [], heldOutShotIds: [], tuned, use: true };
    const setting = settingOf({ ...launchInputs(session, ramShot(exactly(5e5))), tuning }, "stroke", []);
    if (!setting.ok) throw new Error(setting.notice.cause);
    const used = launcherInUse(setting.value.at(0.55, 0.001)).launcher as RamLauncher;
    expect(used.strokeM).toEqual({ value: 0.55, u: 0.001 });
  });
});
