import { describe, expect, it } from "vitest";
import { flyThrown } from "../../../src/shared/launch/on-board/thrown-body.ts";
import { judgeLog, type LogTaken } from "../../../src/shared/on-board/judge-log.ts";
import type { OnBoardLog } from "../../../src/shared/on-board/read-log.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Airframe, Launcher } from "../../../src/shared/session/schema.ts";
import { ramSession, ramShot } from "../next-shot/ram-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const STANDARD: LogTaken = { assumes: "day", untilS: null };
const SPEED = 18;
const DRAG = 0.02;
const RELEASE = 2.013;

function launch(part: Partial<Airframe> = {}, temperatureK: Measured = exactly(293.15)) {
  const shot = ramShot(exactly(4e5));
  const angled = ramSession({ angleRad: exactly(Math.PI / 3) }, part);
  return launchInputs(angled, { ...shot, conditions: { ...shot.conditions, temperatureK } });
}
const BODY = {
  massKg: 1.2,
  airDensity: 101325 / (287.05 * 293.15),
  headwindMPerS: 0,
  angleRad: Math.PI / 3,
};

function heights(noise: number, seed: number, scale = 1): OnBoardLog {
  const chance = createChance(seed);
  const times = Array.from({ length: 90 }, (_, i) => i / 25);
  const up = flyThrown(
    BODY,
    SPEED,
    DRAG,
    times.map((t) => t - RELEASE),
  );
  const samples = times.map((timeS, i) => ({
    timeS,
    value: (timeS < RELEASE ? 0 : up[i]!.heightM) / scale + noise * chance.normal(),
  }));
  return { of: "height", samples, column: "height", unit: "m", unitStated: true };
}

const filmed = (value: number, u: number): Measurement =>
  ({
    quantities: {
      releaseSpeed: { value, u, unit: "m/s", how: "" },
      launchAngle: { value: Math.PI / 3, u: 0, unit: "rad", how: "" },
    },
  }) as unknown as Measurement;

describe("judgeLog", () => {
  it("gives back the speed and the drag area that heights without noise were made with", () => {
    const { releaseSpeed, dragAreaM2, releaseS } = judgeLog(heights(1e-6, 1), STANDARD, launch(), null);
    expect(releaseSpeed!.value).toBeCloseTo(SPEED, 3);
    expect(dragAreaM2!.value).toBeCloseTo(DRAG, 4);
    expect(releaseS!.value).toBeCloseTo(RELEASE, 4);
  });

  it("states uncertainties that hold the truth as often as they should: 60 seeded logs, both within their interval", () => {
    let [inside, squares] = [0, 0];
    for (let seed = 1; seed <= 60; seed++) {
      const { releaseSpeed } = judgeLog(heights(0.1, seed), STANDARD, launch(), null);
      const z = (releaseSpeed!.value - SPEED) / releaseSpeed!.u;
      squares += z * z;
      if (Math.abs(z) < 1.96) inside++;
    }
    // 95 % of 60 are 57; 51 or fewer come one time in a hundred.
    expect(inside).toBeGreaterThan(51);
    expect(squares / 60).toBeGreaterThan(0.5);
    expect(squares / 60).toBeLessThan(1.7);
  });

  it("brings a standard altimeter's heights to the day's air, whose temperature is then in the uncertainty", () => {
    const warm = { value: 308.15, u: 3 };
    const made = heights(1e-6, 1, 308.15 / 288.15);
    const of = (assumes: LogTaken["assumes"]) =>
      judgeLog(made, { assumes, untilS: null }, launch({}, warm), null).releaseSpeed!;
    const [standard, day] = [of("standard"), of("day")];
    expect(standard.value).toBeCloseTo(SPEED, 3);
    // The slope at release goes with the heights, 288.15 K over 308.15 K, and what is then lacking passes for
    // drag.
    expect(day.value / SPEED).toBeLessThan(288.15 / 308.15);
    expect(standard.u / standard.value).toBeGreaterThan(3 / 308.15);
    expect(standard.u / standard.value).toBeLessThan(2 * (3 / 308.15));
  });

  it("holds its speed against the footage, saying by how many u they are apart", () => {
    const near = judgeLog(heights(0.1, 5), STANDARD, launch(), filmed(SPEED, 0.1));
    expect(near.notices.map(({ code }) => code)).toContain("log-agrees");
    const far = judgeLog(heights(0.1, 5), STANDARD, launch(), filmed(0.9 * SPEED, 0.1));
    expect(far.notices.map(({ code }) => code)).toContain("log-differs");
    expect(far.against!.difference.value).toBeCloseTo(far.releaseSpeed!.value - 0.9 * SPEED, 12);
    expect(far.against!.inU).toBeCloseTo(
      far.against!.difference.value / Math.hypot(0.1, far.releaseSpeed!.u),
      9,
    );
  });

  it("warns of a path that no thrown body takes, and says when the drag does not show", () => {
    const lifted = heights(0.02, 3);
    const samples = lifted.samples.map(({ timeS, value }) => ({
      timeS,
      value: value + (timeS > RELEASE ? 1.5 * Math.sin(6 * (timeS - RELEASE)) : 0),
    }));
    const codes = judgeLog({ ...lifted, samples }, STANDARD, launch(), null).notices.map(({ code }) => code);
    expect(codes).toContain("log-not-followed");
    const short = judgeLog(heights(0.3, 4), { ...STANDARD, untilS: 0.6 }, launch(), null);
    expect(short.notices.map(({ code }) => code)).toContain("log-drag-unseen");
  });

  it.each([
    ["no mass", heights(0.1, 1), { massKg: null }, "log-no-mass"],
    [
      "no readings on the ground",
      { ...heights(0.1, 1), samples: heights(0.1, 1).samples.slice(48) },
      {},
      "log-few",
    ],
    [
      "nothing that leaves the ground",
      { ...heights(0.1, 1), samples: heights(0.1, 1).samples.slice(0, 45) },
      {},
      "log-nothing",
    ],
    [
      "a handful of readings",
      { ...heights(0.1, 1), samples: heights(0.1, 1).samples.slice(0, 8) },
      {},
      "log-few",
    ],
  ] as const)("refuses with %s", (_, log, airframe, code) => {
    const report = judgeLog(log, STANDARD, launch(airframe), null);
    expect([report.releaseSpeed, report.notices.map((one) => one.code)]).toEqual([null, [code]]);
  });

  it("refuses heights of a flat launch, and a launch of no known angle", () => {
    const flat = {
      ...launch(),
      launcher: { ...launch().launcher!, angleRad: exactly(0.2) } as Launcher,
    };
    expect(judgeLog(heights(0.1, 1), STANDARD, flat, null).notices[0]!.code).toBe("log-low-angle");
    const unknown = { ...launch(), launcher: null };
    expect(judgeLog(heights(0.1, 1), STANDARD, unknown, null).notices[0]!.code).toBe("log-no-angle");
  });

  it("gives the speed of a push that accelerations were made with, and a gain of 1 % in its uncertainty", () => {
    const chance = createChance(7);
    const [most, length, sine] = [200, 0.1, Math.sin(Math.PI / 3)];
    const times = Array.from({ length: 2000 }, (_, i) => i / 1000);
    const flown = flyThrown(
      BODY,
      (most * length * 2) / Math.PI,
      DRAG,
      times.map((t) => t - 1),
    );
    const samples = times.map((timeS, i) => {
      const x = (timeS - 1 + length) / length;
      const drag = (BODY.airDensity * DRAG * flown[i]!.airspeedMPerS ** 2) / (2 * BODY.massKg);
      const force = x < 0 ? G * sine : x < 1 ? most * Math.sin(Math.PI * x) + G * sine : -drag;
      return { timeS, value: force + 2 + 0.2 * chance.normal() };
    });
    const log: OnBoardLog = { of: "acceleration", samples, column: "a", unit: "m/s²", unitStated: true };
    const { releaseSpeed, dragAreaM2, releaseS } = judgeLog(log, STANDARD, launch(), null);
    const speed = (most * length * 2) / Math.PI; // the area of half a sine
    expect(Math.abs(releaseSpeed!.value - speed)).toBeLessThan(0.2 * releaseSpeed!.u);
    expect(releaseSpeed!.u / speed).toBeGreaterThan(0.0099);
    expect(releaseSpeed!.u / speed).toBeLessThan(0.0115);
    expect(Math.abs(dragAreaM2!.value - DRAG)).toBeLessThan(2 * dragAreaM2!.u);
    expect(releaseS!.value).toBeCloseTo(1, 2);
  });
});
