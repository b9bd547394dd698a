import { describe, expect, it } from "vitest";
import { predictRocket } from "../../../../src/shared/launch/rocket/predict-rocket.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import { STANDARD_GRAVITY as G } from "../../../../src/shared/quantity/gravity.ts";
import { pushInterval } from "../../../../src/shared/quantity/push-interval.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import type { Prediction } from "../../../../src/shared/results/shot-result.ts";
import { freshShot } from "../../../../src/shared/session/fresh.ts";
import { RocketLauncherSchema } from "../../../../src/shared/session/launcher-schemas.ts";
import type { Motor, RocketLauncher, Session, Shot } from "../../../../src/shared/session/schema.ts";
import { ofShot } from "../../../support/notice-codes.ts";
import { LAUNCHER } from "../../../support/one-of-each.ts";
import { twoMotors } from "../../launch/rocket/rocket-cases.ts";
import { exactly, launcherOf, MOTOR, sessionOf } from "./rocket-session.ts";

const SHOT: Shot = {
  ...freshShot("shot-1", "first", null),
  launcherId: LAUNCHER,
  conditions: {
    gaugePressurePa: null,
    temperatureK: exactly(101325 / (287.05 * 1.225)), // so that the air weighs 1.225 kg/m³
    airPressurePa: exactly(101325),
    headwindMPerS: exactly(0),
  },
};

const predict = (session: Session) => predictShot(session, SHOT);
function predicted(session: Session): Prediction {
  const { prediction, notices } = predict(session);
  if (prediction === null) throw new Error(JSON.stringify(notices));
  return prediction;
}
function refusal(session: Session) {
  const { prediction, notices } = predict(session);
  expect(prediction).toBeNull();
  expect(notices.some(({ code }) => code === "rocket-ignition")).toBe(true); // cautions come all the same
  return notices.find(({ level }) => level === "refusal")!;
}
const codes = (session: Session) => predict(session).notices.map(({ level, code }) => `${level} ${code}`);

describe("predictShot with rocket motors", () => {
  it("gives the checked boost's numbers, with u = 0 when every input is exact", () => {
    const { quantities, storedEnergyJ } = predicted(sessionOf(launcherOf()));
    const boost = unwrap(predictRocket(twoMotors()));
    expect(quantities.releaseSpeed).toMatchObject({ value: expect.closeTo(8.0125067, 6), u: 0, unit: "m/s" });
    expect(quantities.releaseTime!.value).toBeCloseTo(0.30537841, 7);
    expect(quantities.burnoutSpeed!.value).toBeCloseTo(24.536271, 5);
    expect(quantities.burnoutTime).toMatchObject({ value: 1.85, unit: "s" });
    expect(quantities.liftOffTime!.value).toBeCloseTo(boost.liftOffS, 10);
    const push = pushInterval((timeS) => boost.at(timeS).speedMPerS, boost.liftOffS, 0.30537841);
    expect(quantities.pushTime!.value).toBeCloseTo(push.pushS, 7);
    expect(quantities.meanPushAcceleration!.value).toBeCloseTo((0.96 * 8.0125067) / push.pushS, 4);
    expect(quantities.stroke).toMatchObject({ value: 1, unit: "m" });
    expect(quantities.launchAngle!.value).toBeCloseTo(Math.PI / 9, 12);
    // At 0.2 s: 2 × 14 N less drag at the speed by then, on 0.6 kg less what 1.565 N·s of each burnt.
    const mass = 0.6 - (2 * 0.0108 * 1.565) / 10.03;
    const speed = boost.at(0.2).speedMPerS;
    const peak = (28 - 0.5 * 1.225 * 0.006 * speed ** 2) / mass - G * Math.sin(Math.PI / 9);
    expect(quantities.peakAcceleration!.value).toBeCloseTo(peak, 6);
    expect(quantities.loadFactor!.value).toBeCloseTo(peak / G + Math.sin(Math.PI / 9), 6);
    expect(storedEnergyJ).toBeNull();
    expect(RocketLauncherSchema.parse(launcherOf())).toEqual(launcherOf());
  });

  it("names pitch and yaw rate at release only for a cradle that lets the airframe turn, and only with the inertia", () => {
    const guided = predicted(sessionOf(launcherOf())).quantities;
    expect(guided.pitchRateAtRelease).toBeUndefined();
    expect(guided.yawRateAtRelease).toBeUndefined();
    const free = launcherOf({ turnsOnCradle: true }, { thrustScale: exactly(0.9) });
    const { pitchRateAtRelease, yawRateAtRelease } = predicted(sessionOf(free)).quantities;
    const boost = unwrap(predictRocket(twoMotors({ thrustScale: 0.9 }, { turnsOnCradle: true })));
    expect(pitchRateAtRelease!.value).toBeCloseTo(boost.leaving.pitchRateRadPerS!, 7);
    expect(yawRateAtRelease!.value).toBeCloseTo(boost.leaving.yawRateRadPerS!, 7);
    expect(pitchRateAtRelease!.value).toBeGreaterThan(0.5); // thrust below the centre of gravity: nose up
    expect(yawRateAtRelease!.value).toBeGreaterThan(0.05); // the weaker motor is on the right: nose right
    const unknown = sessionOf(free, { pitchInertiaKgM2: null, yawInertiaKgM2: null });
    expect(predicted(unknown).quantities.pitchRateAtRelease).toBeUndefined();
    expect(codes(unknown)).toContain(ofShot("note rocket-no-inertia"));
    expect(predict(unknown).notices.find(({ code }) => code === "rocket-no-inertia")!.cause).toContain(
      "pitch inertia and the yaw inertia of the airframe are not known",
    );
  });

  it("carries the spread from motor to motor: 5 % each turn a straight pair, as I alpha = F d says", () => {
    const spread = { value: 1, u: 0.05 };
    const launcher = launcherOf({ turnsOnCradle: true }, { thrustScale: spread });
    const twin = {
      ...launcher,
      motors: [{ ...launcher.motors[0]!, thrustScale: spread }, launcher.motors[1]!],
    };
    const { yawRateAtRelease, releaseSpeed } = predicted(sessionOf(twin)).quantities;
    const boost = unwrap(predictRocket(twoMotors({}, { turnsOnCradle: true })));
    // Impulse of one motor from lift-off to leaving, times 0.05 and the arm of 0.1 m over the
    // inertia, twice in squares.
    const impulse =
      2.485 + (boost.leaving.timeS - 0.28) * (9 - ((boost.leaving.timeS - 0.28) / 2) * (3.5 / 0.12));
    const early = 0.5 * (4 / 0.03) * boost.liftOffS ** 2;
    const each = (0.05 * (impulse - early) * 0.1) / 0.025;
    // A stronger motor also leaves sooner; that is common to both ends of the pair's yaw and falls out.
    expect(yawRateAtRelease!.value).toBeCloseTo(0, 9);
    expect(yawRateAtRelease!.u / (each * Math.SQRT2)).toBeCloseTo(1, 1);
    expect(releaseSpeed!.u).toBeGreaterThan(0.1);
    expect(codes(sessionOf(twin))).toContain(ofShot("danger rocket-turns"));
  });

  it("adds independent inputs in squares, and passes angle, rail and a motor's delay straight through", () => {
    const angle = { angleRad: { value: Math.PI / 9, u: 0.01 } };
    const rail = { railM: { value: 1, u: 0.01 } };
    const of = (change: Partial<RocketLauncher>) => predicted(sessionOf(launcherOf(change))).quantities;
    const [a, b, both] = [of(angle), of(rail), of({ ...angle, ...rail })];
    expect(both.releaseSpeed!.u).toBeCloseTo(Math.hypot(a.releaseSpeed!.u, b.releaseSpeed!.u), 10);
    expect(a.launchAngle!.u).toBeCloseTo(0.01, 12);
    expect(b.stroke!.u).toBeCloseTo(0.01, 12);
    // v dv = a dx at the end of the rail
    const boost = unwrap(predictRocket(twoMotors()));
    const expected = (0.01 * boost.leaving.accelerationMPerS2) / boost.leaving.speedMPerS;
    expect(b.releaseSpeed!.u / expected).toBeCloseTo(1, 3);
    const late = predicted(sessionOf(launcherOf({}, { delayS: { value: 0.15, u: 0.02 } }))).quantities;
    expect(late.burnoutTime).toMatchObject({ value: 2, u: expect.closeTo(0.02, 10) });
  });

  it("takes a motor of which only the packet is known, with its u", () => {
    const thrust: Motor["thrust"] = {
      by: "trapezoid",
      totalImpulseNs: { value: 10.03, u: 0.3 },
      meanThrustN: exactly(10.03 / 1.85),
      riseS: exactly(0.05),
      fallS: exactly(0.1),
    };
    const launcher = launcherOf({ motors: [{ ...MOTOR, thrust, rightM: exactly(0), aboveM: exactly(0) }] });
    const { quantities } = predicted(sessionOf(launcher));
    expect(quantities.burnoutTime!.value).toBeCloseTo(1.85, 12);
    expect(quantities.burnoutTime!.u).toBeCloseTo((1.85 * 0.3) / 10.03, 9); // same mean thrust, longer burn
    expect(quantities.burnoutSpeed!.u).toBeGreaterThan(0);
    const long = { ...thrust, riseS: exactly(1), fallS: exactly(1) };
    expect(refusal(sessionOf(launcherOf({}, { thrust: long })))).toMatchObject({
      code: ofShot("rocket-thrust"),
      cause: expect.stringContaining("Motor “right” burns 1.85 s"),
    });
  });

  it("draws at least 200 samples from ignition to leaving the cradle at 0 s, from rest to the rail's end", () => {
    const { curves, quantities } = predicted(sessionOf(launcherOf()));
    const { timeS, position, speed, acceleration } = curves;
    expect(timeS.length).toBeGreaterThanOrEqual(200);
    expect(timeS[0]).toBeCloseTo(-quantities.releaseTime!.value, 12);
    expect(timeS.at(-1)).toBe(0);
    expect([position[0], speed[0], acceleration[0]]).toEqual([0, 0, 0]);
    expect(position.at(-1)).toBeCloseTo(1, 12);
    expect(speed.at(-1)).toBeCloseTo(8.0125067, 6);
    expect(timeS.every((t, i) => i === 0 || t > timeS[i - 1]!)).toBe(true);
    expect(position.every((x, i) => i === 0 || x >= position[i - 1]!)).toBe(true);
    const ends = (speed.at(-1)! - speed.at(-2)!) / (timeS.at(-1)! - timeS.at(-2)!);
    expect(acceleration.at(-1)! / ends).toBeCloseTo(1, 1);
  });

  it("gives stall speed with the mass on leaving and the margin with the headwind", () => {
    const wing = { wingAreaM2: exactly(0.12), liftCoefficientMax: exactly(1.1) };
    const { stallSpeed, stallMargin } = predicted(sessionOf(launcherOf(), wing)).quantities;
    const mass = unwrap(predictRocket(twoMotors())).leaving.massKg;
    expect(mass).toBeLessThan(0.6);
    expect(stallSpeed!.value).toBeCloseTo(Math.sqrt((2 * mass * G) / (1.225 * 0.12 * 1.1)), 8);
    expect(stallMargin!.value).toBeCloseTo(8.0125067 / stallSpeed!.value, 6);
  });

  it("warns of the load of the whole boost, with a remedy that fits motors", () => {
    const limit = { loadLimitG: { value: 4, u: 0.1 } };
    const short = sessionOf(launcherOf({ railM: exactly(0.05) }), limit); // the thrust peaks after the cradle
    expect(predicted(short).quantities.loadFactor!.value).toBeLessThan(3.8);
    const notice = predict(short).notices.find(({ code }) => code === "load-limit");
    expect(notice).toMatchObject({ level: "danger", remedy: expect.stringContaining("less thrust") });
  });

  it("gives the time at which the booster parts, and warns when a motor still burns", () => {
    const booster = launcherOf({ boosterKg: exactly(0.1) }, { ejectionS: { value: 3, u: 0.3 } });
    expect(predicted(sessionOf(booster)).quantities.separationTime).toMatchObject({
      value: expect.closeTo(4.85, 10),
      u: expect.closeTo(0.3, 8),
    });
    expect(predicted(sessionOf(launcherOf())).quantities.separationTime).toBeUndefined();
    const early = launcherOf(
      { boosterKg: exactly(0.1) },
      {
        ejectionS: exactly(0.1),
        thrust: {
          by: "curve",
          points: [
            [0, 9],
            [1, 9],
            [1.1, 0],
          ],
        },
      },
    );
    expect(
      predict(sessionOf(early)).notices.find(({ code }) => code === "rocket-parts-burning")!.cause,
    ).toContain("while “left” still burns");
  });

  it("warns of a motor that lights late, though the pair has stopped the turn by burnout", () => {
    const level = { aboveM: exactly(0) };
    const pair = launcherOf({ turnsOnCradle: true }, { ...level, delayS: exactly(0.06) });
    const late = sessionOf({ ...pair, motors: [{ ...pair.motors[0]!, ...level }, pair.motors[1]!] });
    const { yawRateAtRelease } = predicted(late).quantities;
    expect(yawRateAtRelease!.value).toBeGreaterThan(1.5);
    const turns = predict(late).notices.find(({ code }) => code === "rocket-turns")!;
    expect(turns.level).toBe("danger");
    expect(turns.cause).toMatch(/: yaw by up to \+\d+.*°, at up to \+\d+.*°\/s \(nose right positive\)/);
  });

  it("gives no release speed to an airframe that a dead motor turns over on its cradle", () => {
    const dead = launcherOf({ turnsOnCradle: true, railM: exactly(1.5) }, { lit: false });
    const over = refusal(sessionOf(dead));
    expect(over.code).toBe(ofShot("rocket-turns-over"));
    expect(over.cause).toMatch(
      /has turned the airframe by \d+(\.\d+)?\s?° when it leaves the cradle after 0\.\d+ s/,
    );
    // kept in line it leaves, and the turn after it is told
    const kept = sessionOf({ ...dead, turnsOnCradle: false });
    expect(predicted(kept).quantities.releaseSpeed!.value).toBeGreaterThan(3);
    expect(codes(kept)).toContain(ofShot("danger rocket-turns"));
  });

  it("says which motor is taken as not lit, and what was left out", () => {
    const dead = sessionOf(launcherOf({}, { lit: false }), { dragAreaM2: null });
    expect(codes(dead)).toEqual(
      expect.arrayContaining([
        ofShot("note rocket-unlit"),
        ofShot("note rocket-no-drag"),
        ofShot("danger rocket-turns"),
      ]),
    );
    expect(predicted(dead).quantities.burnoutSpeed!.value).toBeGreaterThan(10.122286); // no drag
    expect(codes(sessionOf(launcherOf()))).not.toContain(ofShot("note rocket-no-drag"));
  });

  it("refuses without a mass, with nothing lit, and where the airframe does not lift off or leave", () => {
    expect(refusal(sessionOf(launcherOf(), { massKg: null })).code).toBe(ofShot("no-airframe-mass"));
    const unlit = launcherOf();
    expect(
      refusal(sessionOf({ ...unlit, motors: unlit.motors.map((motor) => ({ ...motor, lit: false })) })).code,
    ).toBe(ofShot("rocket-no-motor-lit"));
    const heavy = refusal(sessionOf(launcherOf(), { massKg: exactly(9) }));
    expect(heavy).toMatchObject({
      code: ofShot("rocket-never-lifts-off"),
      cause: expect.stringMatching(/reaches 28 N where .* hold 30\.2 N/),
    });
    expect(refusal(sessionOf(launcherOf({ railM: exactly(500) }))).code).toBe(ofShot("rocket-never-leaves"));
    const parting = launcherOf(
      { boosterKg: exactly(0.1), railM: exactly(20) },
      {
        ejectionS: exactly(0.05),
        thrust: {
          by: "curve",
          points: [
            [0, 30],
            [0.3, 30],
            [0.31, 0],
          ],
        },
      },
    );
    expect(refusal(sessionOf(parting)).code).toBe(ofShot("rocket-separates-on-cradle"));
  });

  it("names the motor and the point of a thrust curve out of order, and the field of an impossible number", () => {
    const crooked: Motor["thrust"] = {
      by: "curve",
      points: [
        [0, 0],
        [0.3, 5],
        [0.2, 5],
        [1, 0],
      ],
    };
    expect(refusal(sessionOf(launcherOf({}, { thrust: crooked })))).toMatchObject({
      code: ofShot("rocket-thrust-curve-order"),
      cause: expect.stringMatching(/^Motor “right”: point 3 of the thrust curve is at 0\.2 s/),
    });
    const tilted = refusal(sessionOf(launcherOf({}, { tiltUpRad: exactly(2) })));
    expect(tilted).toMatchObject({
      code: ofShot("impossible-input"),
      cause: "114.592° cannot be the upward tilt of motor 2 (−89.9544 to 89.9544°).",
      remedy: expect.stringContaining("launchers[0].motors[1].tiltUpRad.value"),
    });
    expect(refusal(sessionOf(launcherOf({ boosterKg: exactly(0.6) })))).toMatchObject({
      code: ofShot("impossible-input"),
      cause: expect.stringContaining("the airframe's mass"),
      remedy: expect.stringContaining("0.6216 kg of booster and propellant"),
    });
  });

  it("names the input about which there is no prediction: tilt either way keeps an airframe from the end of the cradle", () => {
    const endless = predictRocket(twoMotors({}, { railM: 500 }));
    if (endless.ok) throw new Error("not refused");
    const railM = exactly(endless.numbers.positionM! - 1e-6);
    expect(predicted(sessionOf(launcherOf({ railM }))).quantities.releaseSpeed!.value).toBeLessThan(0.01);
    expect(refusal(sessionOf(launcherOf({ railM }, { tiltUpRad: { value: 0, u: 0.5 } })))).toMatchObject({
      code: ofShot("uncertainty-unknown"),
      cause: expect.stringContaining("the upward tilt of motor 2"),
    });
  });
});
