import { describe, expect, it } from "vitest";
import { predictRocket } from "../../../../src/shared/launch/rocket/predict-rocket.ts";
import type {
  RocketInputs,
  RocketMotor,
  RocketState,
} from "../../../../src/shared/launch/rocket/rocket-inputs.ts";
import { totalImpulse } from "../../../../src/shared/launch/rocket/thrust-curve.ts";
import { STANDARD_GRAVITY as G } from "../../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { CURVE, constantThrust, twoMotors } from "./rocket-cases.ts";

const boost = (inputs: RocketInputs, options = {}) => unwrap(predictRocket(inputs, options));
function refusalOf(inputs: RocketInputs) {
  const result = predictRocket(inputs);
  if (result.ok) throw new Error("not refused");
  return result;
}
const withEach = (
  inputs: RocketInputs,
  change: (motor: RocketMotor) => Partial<RocketMotor>,
): RocketInputs => ({
  ...inputs,
  motors: inputs.motors.map((motor) => ({ ...motor, ...change(motor) })),
});

/** Unequal in everything that has a side. */
const CROOKED = twoMotors(
  { thrustScale: 0.85, aboveM: 0.011, tiltUpRad: 0.03, tiltRightRad: -0.02, delayS: 0.04 },
  { slidingN: 0.6, headwindMPerS: 1.5, turnsOnCradle: true },
  { tiltUpRad: -0.01, tiltRightRad: 0.05 },
);

function expectSame(a: RocketState, b: RocketState, sign: { pitch: 1 | -1; yaw: 1 | -1 }, digits = 10) {
  expect(a.positionM).toBeCloseTo(b.positionM, digits);
  expect(a.speedMPerS).toBeCloseTo(b.speedMPerS, digits);
  expect(a.pitchRateRadPerS).toBeCloseTo(sign.pitch * b.pitchRateRadPerS!, digits);
  expect(a.yawRateRadPerS).toBeCloseTo(sign.yaw * b.yawRateRadPerS!, digits);
}

describe("predictRocket", () => {
  it("gives the impulse of the thrust less weight as momentum, when nothing burns away and nothing drags", () => {
    const light = { propellantKg: 1e-12 };
    const inputs = twoMotors(light, { dragAreaM2: 0, angleRad: 0 }, light);
    // On the level without friction the airframe is off at ignition: m v = 2 I
    expect(0.6 * boost(inputs).burnout.speedMPerS).toBeCloseTo(2 * totalImpulse(CURVE), 8);
  });

  it("closes the balance of energy: work of thrust = kinetic and potential energy, with constant mass and thrust", () => {
    const inputs = constantThrust(12, 1.5, 1e-12);
    const { positionM: x, speedMPerS: v } = boost(inputs).burnout;
    expect(12 * x).toBeCloseTo(0.3 * v * v + 0.6 * G * Math.sin(inputs.angleRad) * x, 8);
  });

  it("comes to v = √(F/k) tanh(t √(F k)/m) against drag on the level", () => {
    const inputs = constantThrust(12, 4, 1e-12, { angleRad: 0, dragAreaM2: 0.02 });
    const k = 0.5 * 1.225 * 0.02;
    const { burnout } = boost(inputs);
    expect(burnout.speedMPerS).toBeCloseTo(Math.sqrt(12 / k) * Math.tanh((4 * Math.sqrt(12 * k)) / 0.6), 7);
  });

  it("moves everything by dt when every motor lights dt later", () => {
    const first = boost(CROOKED);
    const later = boost(withEach(CROOKED, ({ delayS }) => ({ delayS: delayS + 0.37 })));
    expect(later.liftOffS - first.liftOffS).toBeCloseTo(0.37, 11);
    expect(later.leaving.timeS - first.leaving.timeS).toBeCloseTo(0.37, 9);
    expect(later.burnout.timeS - first.burnout.timeS).toBeCloseTo(0.37, 12);
    expectSame(later.leaving, first.leaving, { pitch: 1, yaw: 1 }, 8);
    expectSame(later.burnout, first.burnout, { pitch: 1, yaw: 1 }, 7);
  });

  it("turns the other way in a mirror: left and right change yaw alone, up and down pitch alone", () => {
    const straight = boost(CROOKED).burnout;
    const swapped = withEach(CROOKED, ({ rightM, tiltRightRad }) => ({
      rightM: -rightM,
      tiltRightRad: -tiltRightRad,
    }));
    expectSame(boost(swapped).burnout, straight, { pitch: 1, yaw: -1 });
    const upset = withEach(CROOKED, ({ aboveM, tiltUpRad }) => ({ aboveM: -aboveM, tiltUpRad: -tiltUpRad }));
    expectSame(boost(upset).burnout, straight, { pitch: -1, yaw: 1 });
    expect(Math.abs(straight.pitchRateRadPerS!)).toBeGreaterThan(0.1);
    expect(Math.abs(straight.yawRateRadPerS!)).toBeGreaterThan(0.1);
  });

  it("does not care in which order the motors are listed", () => {
    const reversed = { ...CROOKED, motors: CROOKED.motors.toReversed() };
    expectSame(boost(reversed).burnout, boost(CROOKED).burnout, { pitch: 1, yaw: 1 });
  });

  it("changes by less than its tolerance when that is halved", () => {
    for (const relTol of [1e-6, 1e-8]) {
      const [coarse, fine] = [boost(CROOKED, { relTol }), boost(CROOKED, { relTol: relTol / 2 })];
      const change = Math.abs(coarse.burnout.speedMPerS / fine.burnout.speedMPerS - 1);
      expect(change).toBeLessThan(relTol);
      expect(Math.abs(coarse.leaving.timeS / fine.leaving.timeS - 1)).toBeLessThan(relTol);
    }
  });

  it("keeps the airframe in line on a cradle that does, and lets it turn from lift-off on one that does not", () => {
    const guided = boost(twoMotors());
    expect(guided.leaving.pitchRateRadPerS).toBe(0);
    const free = boost(twoMotors({}, { turnsOnCradle: true }));
    expect(free.leaving.timeS).toBeCloseTo(guided.leaving.timeS, 10);
    // All the impulse after lift-off against what is left after leaving: 2 h I/I_yy each.
    const before = (2 * 0.006 * 0.5 * (4 / 0.03) * free.liftOffS ** 2) / 0.018;
    const all = (2 * 0.006 * totalImpulse(CURVE)) / 0.018;
    expect(free.burnout.pitchRateRadPerS!).toBeCloseTo(all - before, 8);
    expect(free.leaving.pitchRateRadPerS! + guided.burnout.pitchRateRadPerS!).toBeCloseTo(all - before, 7);
  });

  it("leaves turning out where the inertia is not given", () => {
    const { leaving, burnout } = boost(twoMotors({}, { pitchInertiaKgM2: null, turnsOnCradle: true }));
    expect(leaving.pitchRateRadPerS).toBeNull();
    expect(burnout.pitchRad).toBeNull();
    expect(burnout.yawRateRadPerS).toBe(0);
  });

  it("takes friction on the cradle only, and holds with it until thrust exceeds both", () => {
    const [smooth, rough] = [
      boost(constantThrust(12, 1.5, 1e-12)),
      boost(constantThrust(12, 1.5, 1e-12, { slidingN: 3 })),
    ];
    // v² = 2 (F − m g sin θ − F_c) L/m
    const along = 12 - 0.6 * G * Math.sin((20 * Math.PI) / 180);
    expect(smooth.leaving.speedMPerS).toBeCloseTo(Math.sqrt((2 * along * 0.5) / 0.6), 8);
    expect(rough.leaving.speedMPerS).toBeCloseTo(Math.sqrt((2 * (along - 3) * 0.5) / 0.6), 8);
    expect(rough.at(rough.leaving.timeS + 0.01).accelerationMPerS2).toBeCloseTo(along / 0.6, 8);
    const late = boost(twoMotors({}, { slidingN: 2 }));
    expect(late.at(late.liftOffS / 2)).toMatchObject({ positionM: 0, speedMPerS: 0, accelerationMPerS2: 0 });
    expect(late.at(late.liftOffS).thrustN).toBeCloseTo(2 + 0.6 * G * Math.sin((20 * Math.PI) / 180), 3);
  });

  it("puts the peak of the acceleration where the thrust peaks, and after the cradle where that comes later", () => {
    const { cradlePeak, boostPeak } = boost(twoMotors());
    expect(cradlePeak).toEqual(boostPeak);
    expect(cradlePeak.timeS).toBeCloseTo(0.2, 12);
    const short = boost(twoMotors({}, { railM: 0.05 }));
    expect(short.cradlePeak.timeS).toBeCloseTo(short.leaving.timeS, 12);
    expect(short.boostPeak.timeS).toBeCloseTo(0.2, 12);
    expect(short.boostPeak.value).toBeGreaterThan(short.cradlePeak.value);
    // A fine scan finds nothing above it, here with the top inside a line: thrust falls slowly
    // while the mass burns away.
    const burning = boost(
      withEach(constantThrust(12, 1, 0.3, { angleRad: 0, dragAreaM2: 0.05, railM: 5 }), () => ({
        curve: [
          [0, 12],
          [1, 11.9],
          [1, 0],
        ],
      })),
    );
    const scan = Array.from({ length: 20_001 }, (_, i) => burning.at(i / 20_000).accelerationMPerS2);
    expect(burning.boostPeak.value).toBeCloseTo(Math.max(...scan), 6);
    expect(burning.boostPeak.timeS).toBeGreaterThan(0.05);
    expect(burning.boostPeak.timeS).toBeLessThan(0.95);
  });

  it("slides back where the thrust fails on the cradle, rests at the bottom, and leaves with the next motor", () => {
    const puff: RocketMotor["curve"] = [
      [0, 8],
      [0.1, 8],
      [0.1, 0],
    ];
    const inputs = twoMotors({ delayS: 3 }, {}, { curve: puff });
    const two = boost(inputs);
    expect(two.at(0.15).speedMPerS).toBeGreaterThan(0);
    expect(two.at(1.5)).toMatchObject({ positionM: 0, speedMPerS: 0 });
    expect(two.liftOffS).toBeGreaterThan(3);
    // From there on as if the puff had only taken its propellant away.
    const alone = boost({
      ...inputs,
      massKg: 0.6 - 0.0108,
      motors: [inputs.motors[1]!],
    });
    expect(two.leaving.speedMPerS).toBeCloseTo(alone.leaving.speedMPerS, 9);
    expect(two.leaving.timeS).toBeCloseTo(alone.leaving.timeS, 9);
  });

  it("stays where friction holds it part-way up, and goes on from there", () => {
    const puff: RocketMotor["curve"] = [
      [0, 8],
      [0.1, 8],
      [0.1, 0],
    ];
    const two = boost(twoMotors({ delayS: 3 }, { slidingN: 2.5 }, { curve: puff }));
    const rest = two.at(2);
    expect(rest.speedMPerS).toBe(0);
    expect(rest.positionM).toBeGreaterThan(0.005);
    expect(two.at(3).positionM).toBe(rest.positionM);
    expect(two.leaving.positionM).toBeCloseTo(1, 12);
  });

  it("coasts off the cradle after a burn too short for it", () => {
    const short = boost(constantThrust(30, 0.1, 1e-12));
    expect(short.burnout.positionM).toBeLessThan(0.5);
    expect(short.leaving.timeS).toBeGreaterThan(short.burnout.timeS);
    expect(short.leaving.positionM).toBeCloseTo(0.5, 12);
    expect(short.endS).toBe(short.leaving.timeS);
  });

  it("drops the booster with all its propellant at the first ejection charge; speed goes on, mass and weight do not", () => {
    const two = boost(twoMotors({ ejectionS: 0.4 }, { boosterKg: 0.1 }, { ejectionS: 0.7 }), { untilS: 3 });
    const { separation } = two;
    expect(separation!.timeS).toBeCloseTo(1.85 + 0.4, 12);
    const after = two.at(separation!.timeS + 1e-9);
    expect(after.speedMPerS).toBeCloseTo(separation!.speedMPerS, 6);
    expect(separation!.massKg).toBeCloseTo(0.6 - 0.0216, 12);
    expect(after.massKg).toBeCloseTo(0.6 - 0.0216 - 0.1, 12);
    // The lighter airframe is slowed more by the same drag.
    expect(after.accelerationMPerS2).toBeLessThan(separation!.accelerationMPerS2);
    expect(two.burningAtSeparation).toEqual([]);
  });

  it("stops the thrust of a motor that leaves burning with the booster, and names it", () => {
    const two = boost(twoMotors({ delayS: 1.5 }, { boosterKg: 0.1 }, { ejectionS: 0.2 }), { untilS: 4 });
    expect(two.separation!.timeS).toBeCloseTo(2.05, 12);
    expect(two.burnout.timeS).toBe(two.separation!.timeS);
    expect(two.burningAtSeparation).toEqual(["right"]);
    expect(two.at(2.5).thrustN).toBe(0);
    expect(two.at(2.5).massKg).toBeCloseTo(0.6 - 0.0216 - 0.1, 12);
  });

  it("separates nothing without a booster, or when only an unlit motor has a charge", () => {
    expect(boost(twoMotors({ ejectionS: 0.4 })).separation).toBeNull();
    expect(boost(twoMotors({ ejectionS: 0.4, lit: false }, { boosterKg: 0.1 })).separation).toBeNull();
  });

  it("refuses when no motor is lit, when thrust never exceeds weight and friction, when it stops short, when it parts too soon", () => {
    expect(predictRocket(twoMotors({ lit: false }, {}, { lit: false }))).toMatchObject({
      code: "no-motor-lit",
    });
    const heavy = refusalOf(twoMotors({}, { massKg: 9, slidingN: 1 }));
    expect(heavy).toMatchObject({ ok: false, code: "never-lifts-off", numbers: { thrustN: 28 } });
    expect(heavy.numbers.neededN).toBeCloseTo(1 + 9 * G * Math.sin((20 * Math.PI) / 180), 1);
    const long = refusalOf(constantThrust(30, 0.05, 1e-12, { railM: 50 }));
    expect(long).toMatchObject({ ok: false, code: "never-leaves", numbers: { railM: 50 } });
    // v² = 2 g sin θ s after the burn
    const gs = G * Math.sin((20 * Math.PI) / 180);
    const [a, v] = [30 / 0.6 - gs, (30 / 0.6 - gs) * 0.05];
    expect(long.numbers.positionM).toBeCloseTo(v ** 2 / (2 * a) + v ** 2 / (2 * gs), 8);
    const push = 40 / 0.6 - gs; // of the left motor for 0.2 s, propellant and drag being nothing
    const early = twoMotors(
      { lit: false, propellantKg: 1e-12 },
      { boosterKg: 0.1, railM: 2, dragAreaM2: 0 },
      {
        propellantKg: 1e-12,
        ejectionS: 0.01,
        curve: [
          [0, 40],
          [0.2, 40],
          [0.2, 0],
        ],
      },
    );
    const parted = refusalOf(early);
    expect(parted).toMatchObject({
      code: "separates-on-cradle",
      numbers: { timeS: expect.closeTo(0.21, 12) },
    });
    expect(parted.numbers.positionM).toBeCloseTo(
      (push * 0.2 ** 2) / 2 + push * 0.2 * 0.01 - (gs * 0.01 ** 2) / 2,
      8,
    );
  });

  it.each([
    ["airframeMassKg", { massKg: 0 }],
    ["airframeMassKg", { massKg: 0.02 }],
    ["angleRad", { angleRad: 2 }],
    ["railM", { railM: 0 }],
    ["slidingN", { slidingN: -1 }],
    ["boosterKg", { boosterKg: -0.1 }],
    ["dragAreaM2", { dragAreaM2: Number.NaN }],
    ["airDensity", { airDensity: 0 }],
    ["pitchInertiaKgM2", { pitchInertiaKgM2: 0 }],
    ["yawInertiaKgM2", { yawInertiaKgM2: -1 }],
    ["motors", { motors: [] }],
  ] as const)("throws RangeError naming %s for %o", (field, change) => {
    expect(() => predictRocket(twoMotors({}, change))).toThrow(
      new RegExp(`^predictRocket: ${field} must be`),
    );
  });

  it.each([
    ["thrustScale", { thrustScale: 0 }],
    ["propellantKg", { propellantKg: 0 }],
    ["delayS", { delayS: -0.1 }],
    ["ejectionS", { ejectionS: 0 }],
    ["tiltUpRad", { tiltUpRad: 1.6 }],
    ["rightM", { rightM: Number.POSITIVE_INFINITY }],
    [
      "thrust.points.2.0",
      {
        curve: [
          [0, 0],
          [0.2, 5],
          [0.1, 5],
          [1, 0],
        ],
      },
    ],
    [
      "thrust.points.1.0",
      {
        curve: [
          [0, 0],
          [0.2, -5],
          [1, 0],
        ],
      },
    ],
    [
      "thrust.totalImpulseNs",
      {
        curve: [
          [0, 0],
          [1, 0],
        ],
      },
    ],
  ] as readonly (readonly [string, Partial<RocketMotor>])[])(
    "throws RangeError naming %s of the second motor for %o",
    (field, change) => {
      expect(() => predictRocket(twoMotors(change))).toThrow(`predictRocket: motors.1.${field} must be`);
    },
  );

  it("throws RangeError on a tolerance or a time that is none", () => {
    expect(() => predictRocket(twoMotors(), { relTol: 0 })).toThrow(/relTol 0/);
    expect(() => boost(twoMotors()).at(Number.NaN)).toThrow(RangeError);
  });
});
