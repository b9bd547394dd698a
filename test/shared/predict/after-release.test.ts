import { describe, expect, it } from "vitest";
import { heightToStallSpeed } from "../../../src/shared/launch/flight-after.ts";
import { afterRelease } from "../../../src/shared/predict/after-release.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";
import type { Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Airframe, RocketLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { calmShot, elasticSession, exactly } from "./elastic-line.ts";

const DEGREE = Math.PI / 180;
const q = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });
const WING = { massKg: exactly(1.2), wingAreaM2: exactly(0.25), liftCoefficientMax: exactly(1.1) };
const RELEASE = {
  releaseSpeed: q(14.12, 0.05, "m/s"),
  launchAngle: q(10 * DEGREE, 0.002, "rad"),
  stallSpeed: q(8.36, 0, "m/s"),
  stallMargin: q(14.12 / 8.36, 0.05 / 8.36, "1"),
  pitchAtRelease: q(8 * DEGREE, 0.01, "rad"),
  pitchRateAtRelease: q(0.5, 0.02, "rad/s"),
};
const flown = (
  airframe: Partial<Airframe> = WING,
  conditions: Partial<Shot["conditions"]> = {},
  quantities: Parameters<typeof afterRelease>[2] = RELEASE,
) => after(elasticSession({}, airframe), calmShot(conditions), quantities);
const after = (session: Session, shot: Shot, quantities: Parameters<typeof afterRelease>[2]) =>
  afterRelease(firstOf(session).launcher, launchInputs(session, shot), quantities, "measured");

describe("afterRelease", () => {
  it("gives the lift available as the square of the margin, and the bank it allows in words", () => {
    const { liftAvailable } = flown().quantities;
    expect(liftAvailable!.value).toBeCloseTo((14.12 / 8.36) ** 2, 12);
    expect(liftAvailable!.u).toBeCloseTo((2 * 14.12 * 0.05) / 8.36 ** 2, 12);
    expect(liftAvailable!.how).toMatch(/banked up to 69°/); // acos(1/2.853) = 69.5°
  });
  it("adds one second of the pitch rate to the pitch, and calls it a bound", () => {
    const { pitchAfterOneSecond } = flown().quantities;
    expect(pitchAfterOneSecond!.value).toBeCloseTo(8 * DEGREE + 0.5, 12);
    expect(pitchAfterOneSecond!.u).toBeCloseTo(Math.hypot(0.01, 0.02), 12);
    expect(pitchAfterOneSecond!.how).toMatch(/a bound, for the air damps it/);
  });
  it("holds a straight path where the wing can: no drag, 10° up, slowing by g sin γ alone", () => {
    const { heightAfterOneSecond } = flown().quantities;
    const along = 14.12 - (G * Math.sin(10 * DEGREE)) / 2;
    expect(heightAfterOneSecond!.value).toBeCloseTo(along * Math.sin(10 * DEGREE), 8);
    expect(heightAfterOneSecond!.how).toMatch(/no drag, for no drag area is entered/);
  });
  it("without a wing falls as a stone does", () => {
    const { heightAfterOneSecond } = flown(
      { massKg: exactly(1.2) },
      {},
      {
        releaseSpeed: RELEASE.releaseSpeed,
        launchAngle: RELEASE.launchAngle,
      },
    ).quantities;
    expect(heightAfterOneSecond!.value).toBeCloseTo(14.12 * Math.sin(10 * DEGREE) - G / 2, 8);
    expect(heightAfterOneSecond!.how).toMatch(/no lift/);
  });
  it("loses height with drag, and sinks below stall speed", () => {
    const free = flown().quantities.heightAfterOneSecond!.value;
    expect(flown({ ...WING, dragAreaM2: exactly(0.02) }).quantities.heightAfterOneSecond!.value).toBeLessThan(
      free,
    );
    const slow = { ...RELEASE, releaseSpeed: q(6, 0.1, "m/s"), launchAngle: q(0, 0, "rad") };
    expect(flown(WING, {}, slow).quantities.heightAfterOneSecond!.value).toBeLessThan(0);
  });
  it("gives the time to the ground of a body not flown, only where the height of release is known", () => {
    expect(flown().quantities.timeToGround).toBeUndefined();
    const { timeToGround } = flown(WING, { releaseHeightM: { value: 1.5, u: 0.1 } }).quantities;
    const up = 14.12 * Math.sin(10 * DEGREE);
    expect(timeToGround!.value).toBeCloseTo((up + Math.sqrt(up ** 2 + 2 * G * 1.5)) / G, 8);
    // d t/d h = 1/(g t − v_y); d t/d v_y = t/(g t − v_y)
    const fall = G * timeToGround!.value - up;
    const ofSpeed = (timeToGround!.value * Math.sin(10 * DEGREE) * 0.05) / fall;
    const ofAngle = (timeToGround!.value * 14.12 * Math.cos(10 * DEGREE) * 0.002) / fall;
    expect(timeToGround!.u).toBeCloseTo(Math.hypot(0.1 / fall, ofSpeed, ofAngle), 4);
  });
  it("says where a body that is not flown comes down, and how fast", () => {
    expect(flown().quantities.range).toBeUndefined();
    const height = { releaseHeightM: { value: 1.5, u: 0.1 }, crosswindMPerS: exactly(0) };
    const { range, sideDrift, impactSpeed, timeToGround } = flown(WING, height).quantities;
    const [along, up] = [14.12 * Math.cos(10 * DEGREE), 14.12 * Math.sin(10 * DEGREE)];
    expect(range!.value).toBeCloseTo(along * timeToGround!.value, 6);
    expect(sideDrift).toMatchObject({ value: expect.closeTo(0, 9), u: 0 });
    expect(impactSpeed!.value).toBeCloseTo(Math.sqrt(14.12 ** 2 + 2 * G * 1.5), 6);
    // x = v_x t(v_y, h): by the speed, the angle and the height
    const fall = G * timeToGround!.value - up;
    const t = timeToGround!.value;
    const ofSpeed = (Math.cos(10 * DEGREE) * t + (along * t * Math.sin(10 * DEGREE)) / fall) * 0.05;
    const ofAngle = (-up * t + (along * t * along) / fall) * 0.002;
    expect(range!.u).toBeCloseTo(Math.hypot(ofSpeed, ofAngle, (along / fall) * 0.1), 3);
    const dragged = { ...WING, dragAreaM2: exactly(0.02) };
    const unsure = flown(dragged, { ...height, crosswindMPerS: null }).quantities.sideDrift!;
    expect(unsure.u).toBeGreaterThan(0.01);
    expect(unsure.how).toMatch(/; crosswind not stated: 0 ± 2 m\/s assumed$/);
  });
  it("is a danger where it comes down beyond the ground that is clear, a warning where it may", () => {
    const beyond = (clearM: number) => {
      const air = { releaseHeightM: exactly(1.5), crosswindMPerS: exactly(0), clearM: exactly(clearM) };
      return flown(WING, air).notices.map(({ level, code }) => `${level} ${code}`);
    };
    const { value, u } = flown(WING, { releaseHeightM: exactly(1.5) }).quantities.range!;
    expect(beyond(value - 0.01)).toEqual([ofShot("danger after-beyond-clear")]);
    expect(beyond(value + 1.99 * u)).toEqual([ofShot("warning after-beyond-clear")]);
    expect(beyond(value + 2.01 * u)).toEqual([]);
  });
  it("gives the highest place of a near-vertical shot, and of no other", () => {
    expect(flown().quantities.apogee).toBeUndefined();
    const { apogee } = flown(
      { massKg: exactly(0.25) },
      {},
      {
        releaseSpeed: q(40, 0.2, "m/s"),
        launchAngle: q(Math.PI / 2, 0, "rad"),
      },
    ).quantities;
    expect(apogee!.value).toBeCloseTo(1600 / (2 * G), 7);
    expect(apogee!.u).toBeCloseTo((40 * 0.2) / G, 4);
  });
  it("gives the load of a gust, eased by the chord where that is known", () => {
    const gust = { gustMPerS: { value: 3, u: 0.3 } };
    const wing = { ...WING, liftSlopePerRad: exactly(4.5) };
    const level = { ...RELEASE, launchAngle: q(0, 0, "rad"), releaseSpeed: q(14.12, 0, "m/s") };
    const rho = 101325 / (287.05 * 288.15);
    const sharp = (rho * 14.12 * 4.5 * 3 * 0.25) / (2 * 1.2 * G);
    expect(flown(wing, gust, level).quantities.gustLoad).toMatchObject({
      value: expect.closeTo(sharp, 10),
      u: expect.closeTo(sharp / 10, 6),
      how: expect.stringMatching(/sharp edge/),
    });
    // 1 + 2.5 weights are more than the (14.12/8.36)² = 2.9 the wing lifts before it
    // stalls; half the gust is not.
    expect(flown(wing, gust, level).quantities.gustLoad!.how).toMatch(
      /the wing stalls .* at 2\.9 times the weight/,
    );
    const half = { gustMPerS: { value: 1.5, u: 0.3 } };
    expect(flown(wing, half, level).quantities.gustLoad!.how).not.toMatch(/stalls/);
    const mu = (2 * 1.2) / (rho * 0.2 * 4.5 * 0.25);
    expect(flown({ ...wing, meanChordM: exactly(0.2) }, gust, level).quantities.gustLoad!.value).toBeCloseTo(
      (sharp * 0.88 * mu) / (5.3 + mu),
      10,
    );
    expect(flown(WING, gust, level).quantities.gustLoad).toBeUndefined();
  });

  const slow = {
    ...RELEASE,
    releaseSpeed: q(6, 0.1, "m/s"),
    launchAngle: q(0, 0, "rad"),
    stallMargin: q(6 / 8.36, 0.012, "1"),
  };
  it("says below stall what height the missing speed costs, with its u, and whether there is that much", () => {
    const [notice] = flown(WING, {}, slow).notices;
    expect(notice).toMatchObject({ level: "warning", code: ofShot("after-below-stall") });
    expect(heightToStallSpeed(6, 8.36)).toBeCloseTo(1.728, 3);
    expect(notice!.cause).toMatch(/falling 1\.73 ± 0\.06 m without loss\.$/); // 8.36 · 6 · 0.012/g = 0.061 m
    const low = flown(WING, { releaseHeightM: exactly(1.2) }, slow).notices[0]!;
    expect(low.level).toBe("danger");
    expect(low.cause).toMatch(/reaches the ground first/);
    expect(flown(WING, { releaseHeightM: exactly(2.5) }, slow).notices[0]!.level).toBe("warning");
  });
  it("says when and how far below it has its speed, where it gained speed after release", () => {
    const gaining = { ...slow, dragAfterRelease: q(-G / 2, 0.3, "m/s²") };
    expect(flown(WING, {}, gaining).notices[0]!.cause).toMatch(/it has it 0\.5 s later and 0\.38/);
    const unsure = { ...slow, dragAfterRelease: q(-0.3, 0.3, "m/s²") };
    expect(flown(WING, {}, unsure).notices[0]!.cause).not.toMatch(/later/);
  });
  it("warns of a gust from behind that takes the margin away", () => {
    const codes = (gust: number) => flown(WING, { gustMPerS: exactly(gust) }).notices.map(({ code }) => code);
    expect(codes(3)).toEqual([]);
    expect(codes(7)).toEqual([ofShot("after-gust-stall")]);
  });
  it("says nothing of a rocket, whose motors go on, nor of a shot whose speed is not known", () => {
    const launcher = { kind: "rocket-boost" } as RocketLauncher;
    const rocket = oneOfEach({ ...elasticSession({}, WING), launcher });
    expect(after(rocket, calmShot(), RELEASE)).toEqual({ quantities: {}, notices: [] });
    expect(flown(WING, {}, {})).toEqual({ quantities: {}, notices: [] });
  });
});
