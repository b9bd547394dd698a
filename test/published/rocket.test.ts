import { describe, expect, it } from "vitest";
import { motorClass } from "../../src/shared/launch/rocket/motor-class.ts";
import { predictRocket } from "../../src/shared/launch/rocket/predict-rocket.ts";
import type { RocketMotor } from "../../src/shared/launch/rocket/rocket-inputs.ts";
import {
  burnLimits,
  cumulativeImpulse,
  meanThrust,
  specificImpulse,
  totalImpulse,
} from "../../src/shared/launch/rocket/thrust-curve.ts";
import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { CURVE, constantThrust, twoMotors } from "../shared/launch/rocket/rocket-cases.ts";

/** Within a relative 5e-7: six significant digits. */
function sixDigits(value: number | null, reference: number): void {
  expect(value).not.toBeNull();
  expect(Math.abs(value! / reference - 1), `${value} against ${reference}`).toBeLessThan(5e-7);
}

describe("motor curves", () => {
  // The trapezoid rule is exact for straight lines; every figure here can be summed by hand.
  it("cumulativeImpulse sums the trapezoids of ten points", () => {
    const byHand = [0, 0.06, 0.645, 1.565, 2.485, 3.355, 5.415, 8.235, 9.81, 10.03];
    for (const [i, sum] of cumulativeImpulse(CURVE).entries()) expect(sum).toBeCloseTo(byHand[i]!, 12);
    expect(totalImpulse(CURVE)).toBeCloseTo(10.03, 12);
  });

  it("meanThrust, specificImpulse and burnLimits give 5.42162 N, 94.70142 s and 0.00525 to 1.8340909 s", () => {
    sixDigits(meanThrust(CURVE), 5.42162162);
    // I/(m_p g) with g = 9.80665 m/s² (ISO 80000-3): 10.03/(0.0108 × 9.80665)
    sixDigits(specificImpulse(totalImpulse(CURVE), 0.0108), 94.70142237);
    const [from, to] = burnLimits(CURVE); // 5 % of the 14 N peak is 0.7 N
    expect(from).toBeCloseTo(0.00525, 12);
    sixDigits(to, 1.834090909);
  });

  // Classes of NFPA 1125 as the National Association of Rocketry publishes them: limits double from letter to
  // letter.
  it.each([
    [0.3125, "1/8A"],
    [0.3126, "1/4A"],
    [0.625, "1/4A"],
    [1.25, "1/2A"],
    [2.5, "A"],
    [2.51, "B"],
    [5, "B"],
    [5.01, "C"],
    [10, "C"],
    [10.01, "D"],
    [20, "D"],
    [20.01, "E"],
    [40, "E"],
    [80, "F"],
    [160, "G"],
    [320, "H"],
    [640, "I"],
    [1280, "J"],
    [2560, "K"],
    [5120, "L"],
    [10_240, "M"],
    [20_480, "N"],
    [40_960, "O"],
  ])("motorClass of %s N·s is %s", (impulse, letter) => {
    expect(motorClass(impulse)?.letter).toBe(letter);
  });

  it("motorClass puts the curve above class D's lower limit by 0.03 N·s, two of it in E, and nothing above 40 960", () => {
    const impulse = totalImpulse(CURVE);
    expect(motorClass(impulse)).toMatchObject({ letter: "D", aboveNs: 10, upToNs: 20 });
    expect(impulse - motorClass(impulse)!.aboveNs).toBeCloseTo(0.03, 12);
    expect(motorClass(2 * impulse)).toMatchObject({ letter: "E", aboveNs: 20, upToNs: 40 });
    expect(motorClass(40_961)).toBeNull();
  });
});

describe("boost from rest", () => {
  // Reference figures computed with scipy 1.10 solve_ivp DOP853, rtol 1e-12, by tools/reference/rocket.py. It
  // turns only after the cradle and counts a moment of a thrust line off the centre of gravity as positive;
  // here the line is below it: nose up.
  const BOOSTS: readonly {
    readonly name: string;
    readonly right: Partial<RocketMotor>;
    readonly fullWeightLiftOffS: number;
    readonly leaveS: number;
    readonly leaveSpeed: number;
    readonly positionM: number;
    readonly speed: number;
    readonly endPitch: readonly [deg: number, radPerS: number];
    readonly endYaw: readonly [deg: number, radPerS: number];
  }[] = [
    {
      name: "two equal motors",
      right: {},
      fullWeightLiftOffS: 0.007546661636725505,
      leaveS: 0.30537841219417783,
      leaveSpeed: 8.012506690623747,
      positionM: 28.40049986971606,
      speed: 24.536271215369684,
      endPitch: [416.1143012072605, 4.88399125827727],
      endYaw: [0, 0],
    },
    {
      name: "the right motor at 0.9",
      right: { thrustScale: 0.9 },
      fullWeightLiftOffS: 0.0079438543544479,
      leaveS: 0.3128713482285713,
      leaveSpeed: 7.731426624213072,
      positionM: 26.80689615879793,
      speed: 23.195624144123677,
      endPitch: [390.4533149375464, 4.6011131689909],
      endYaw: [246.60209364476606, 2.9059662119942504],
    },
    {
      name: "the right motor 0.15 s late",
      right: { delayS: 0.15 },
      fullWeightLiftOffS: 0.01509332327345101,
      leaveS: 0.38065439575587867,
      leaveSpeed: 7.440074291386527,
      positionM: 26.20079320020162,
      speed: 24.15308305163102,
      endPitch: [402.3265474039913, 4.950687501553725],
      endYaw: [-368.0520084145041, -5.113380651486702],
    },
    {
      name: "the right motor dead",
      right: { lit: false },
      fullWeightLiftOffS: 0.01509332327345101,
      leaveS: 0.44557115875676995,
      leaveSpeed: 4.535972849548379,
      positionM: 11.855677705023927,
      speed: 10.122286390410936,
      endPitch: [171.448864980486, 2.1420585886781325],
      endYaw: [2057.3863797658296, 25.704703064137565],
    },
  ];

  for (const one of BOOSTS) {
    it(`predictRocket boosts an airframe with ${one.name}`, () => {
      const boost = unwrap(predictRocket(twoMotors(one.right), { untilS: 2.5 }));
      sixDigits(boost.leaving.timeS, one.leaveS);
      sixDigits(boost.leaving.speedMPerS, one.leaveSpeed);
      expect(boost.leaving.positionM).toBeCloseTo(1, 12);
      const burnt = boost.at(1.85);
      sixDigits(burnt.positionM, one.positionM);
      sixDigits(burnt.speedMPerS, one.speed);
      const end = boost.at(2.5);
      sixDigits(end.pitchRad! * (180 / Math.PI), one.endPitch[0]);
      sixDigits(end.pitchRateRadPerS, one.endPitch[1]);
      if (one.endYaw[1] === 0) {
        expect(end.yawRateRadPerS).toBe(0);
        expect(end.yawRad).toBe(0);
      } else {
        sixDigits(end.yawRad! * (180 / Math.PI), one.endYaw[0]);
        sixDigits(end.yawRateRadPerS, one.endYaw[1]);
      }
    });

    it(`predictRocket lifts off with ${one.name} where thrust meets weight, to the propellant burnt by then`, () => {
      // The script's lift-off is against the full weight, which is that of propellant too light to matter.
      const light = { propellantKg: 1e-12 };
      const full = unwrap(predictRocket(twoMotors({ ...one.right, ...light }, {}, light)));
      sixDigits(full.liftOffS, one.fullWeightLiftOffS);
      // With propellant, m(t) = m_0 − m_p I(t)/I is some 8 mg less by then: k t = (m_0 − m_p k t²/(2 I)) g
      // sin θ, a quadratic.
      const slope = 4 / 0.03; // N/s of one motor up to 0.03 s
      const burning = (one.right.lit ?? true) && (one.right.delayS ?? 0) === 0;
      // total slope of those alight
      const thrust = slope * (1 + (burning ? (one.right.thrustScale ?? 1) : 0));
      const [gs, burn] = [G * Math.sin((20 * Math.PI) / 180), (0.0108 * slope * (burning ? 2 : 1)) / 10.03];
      const [a, b, c] = [(burn * gs) / 2, thrust, -0.6 * gs];
      const root = (-2 * c) / (b + Math.sqrt(b * b - 4 * a * c));
      const boost = unwrap(predictRocket(twoMotors(one.right)));
      expect(boost.liftOffS).toBeCloseTo(root, 12);
      expect(boost.liftOffS / one.fullWeightLiftOffS - 1).toBeGreaterThan(-3e-5);
      expect(boost.liftOffS).toBeLessThan(one.fullWeightLiftOffS);
    });
  }

  it("predictRocket meets the rocket equation: 12 N for 1.5 s give 25.5222126 m/s in 19.0016367 m without drag", () => {
    // K. E. Tsiolkovsky, 1903: v = −v_e ln(1 − m_p/m_0) − g sin θ t_b, with v_e = F t_b/m_p; its integral for
    // the distance.
    const [thrust, burnS, m0, mp] = [12, 1.5, 0.6, 0.0216];
    const boost = unwrap(predictRocket(constantThrust(thrust, burnS, mp)));
    const gs = G * Math.sin((20 * Math.PI) / 180);
    const ve = (thrust * burnS) / mp;
    const v = -ve * Math.log(1 - mp / m0) - gs * burnS;
    const flow = mp / burnS;
    const x = ve * ((burnS - m0 / flow) * Math.log(m0 / (m0 - mp)) + burnS) - (gs * burnS ** 2) / 2;
    expect(v).toBeCloseTo(25.52221255, 8);
    expect(x).toBeCloseTo(19.00163674, 8);
    sixDigits(boost.burnout.speedMPerS, 25.5222126);
    sixDigits(boost.burnout.positionM, 19.0016367);
    expect(boost.burnout.speedMPerS).toBeCloseTo(v, 8);
    expect(boost.burnout.positionM).toBeCloseTo(x, 7);
    expect(boost.burnout.timeS).toBe(1.5);
  });

  it("predictRocket turns by Newton's law of moments: 10 N 6 mm below, on 0.018 kg m², give 3.33333 rad/s²", () => {
    const inputs = constantThrust(10, 0.3, 0.001, { turnsOnCradle: true });
    const below = { ...inputs, motors: inputs.motors.map((motor) => ({ ...motor, aboveM: -0.006 })) };
    const boost = unwrap(predictRocket(below));
    sixDigits(boost.at(0.3).pitchRateRadPerS! / 0.3, 3.33333333);
  });

  it("predictRocket turns by F l sin ε: 10 N tilted 1° at 0.35 m is a moment of 0.0610834 N·m, up or sideways", () => {
    const inputs = constantThrust(10, 0.3, 0.001, { turnsOnCradle: true });
    const tilted = (part: Partial<RocketMotor>) => ({
      ...inputs,
      motors: inputs.motors.map((motor) => ({ ...motor, aheadM: -0.35, ...part })),
    });
    const degree = Math.PI / 180;
    const up = unwrap(predictRocket(tilted({ tiltUpRad: degree }))).at(0.3);
    sixDigits((-0.018 * up.pitchRateRadPerS!) / 0.3, 0.0610834225); // pushed up behind: nose down
    const right = unwrap(predictRocket(tilted({ tiltRightRad: degree }))).at(0.3);
    sixDigits((-0.025 * right.yawRateRadPerS!) / 0.3, 0.0610834225); // pushed right behind: nose left
  });
});
