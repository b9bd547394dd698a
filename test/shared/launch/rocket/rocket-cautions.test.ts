import { describe, expect, it } from "vitest";
import {
  installedImpulse,
  motorImpulse,
  type RocketFacts,
  rocketCautions,
} from "../../../../src/shared/launch/rocket/rocket-cautions.ts";
import type { MeasuredMotor } from "../../../../src/shared/launch/rocket/rocket-measured.ts";
import { ROCKET_DEFERENCE } from "../../../../src/shared/results/notices/deference.ts";
import type { LaunchNoticeCode } from "../../../../src/shared/results/notices/launch-notices.ts";
import { ofShot } from "../../../support/notice-codes.ts";
import { CURVE } from "./rocket-cases.ts";

const exactly = (value: number) => ({ value, u: 0 });
const MOTOR: MeasuredMotor = {
  name: "left",
  thrust: { by: "curve", points: CURVE },
  thrustScale: { value: 1, u: 0.05 },
  propellantKg: exactly(0.0108),
  aheadM: exactly(-0.2),
  aboveM: exactly(0),
  rightM: exactly(0),
  tiltUpRad: exactly(0),
  tiltRightRad: exactly(0),
  delayS: exactly(0),
  lit: true,
  ejectionS: null,
};
const packet = (totalImpulseNs: number, u = 0): MeasuredMotor["thrust"] => ({
  by: "trapezoid",
  totalImpulseNs: { value: totalImpulseNs, u },
  meanThrustN: exactly(6),
  riseS: exactly(0.05),
  fallS: exactly(0.05),
});
const FACTS: RocketFacts = {
  motors: [MOTOR, { ...MOTOR, name: "right", lit: false }],
  angleRad: exactly((20 * Math.PI) / 180),
  massKg: exactly(0.6),
};
const codes = (change: Partial<RocketFacts>) =>
  rocketCautions({ ...FACTS, ...change }).map(({ level, code }) => `${level} ${code}`);
const saying = (code: LaunchNoticeCode, change: Partial<RocketFacts> = {}) =>
  rocketCautions({ ...FACTS, ...change }).find((one) => one.code === code)!.cause;

describe("installedImpulse", () => {
  it("adds all motors, lit or not, their spread in squares", () => {
    const sum = installedImpulse(FACTS.motors);
    expect(sum.value).toBeCloseTo(20.06, 12);
    expect(sum.u).toBeCloseTo(10.03 * 0.05 * Math.SQRT2, 12);
  });
  it("takes a packet's impulse with its own u", () => {
    const one = motorImpulse({ ...MOTOR, thrust: packet(10, 0.3), thrustScale: { value: 0.9, u: 0.04 } });
    expect(one.value).toBeCloseTo(9, 12);
    expect(one.u).toBeCloseTo(Math.hypot(0.3 * 0.9, 10 * 0.04), 12);
  });
});

describe("rocketCautions", () => {
  it("state the sum of all motors with its class, and that it may be of a class above", () => {
    expect(saying("rocket-class")).toContain("The 2 motors together hold 20.1 ± 0.7 N·s, class E");
    const one = { motors: [{ ...MOTOR, thrust: packet(9.9), thrustScale: { value: 1, u: 0.05 } }] };
    expect(saying("rocket-class", one)).toContain(
      "class C (up to 10 N·s), and within twice the uncertainty one above it",
    );
    const sure = { motors: [{ ...MOTOR, thrust: packet(9), thrustScale: exactly(1) }] };
    expect(saying("rocket-class", sure)).toContain("The motor holds 9 ± 0 N·s, class C (up to 10 N·s).");
  });

  it("give the distance of the class and say that it is not enough", () => {
    expect(saying("rocket-distance")).toContain("9.1 m (30 ft)"); // E
    expect(saying("rocket-distance", { motors: [MOTOR] })).toContain("4.6 m (15 ft)"); // D
    expect(saying("rocket-distance", { motors: [{ ...MOTOR, thrust: packet(50_000) }] })).toContain(
      "9.1 m (30 ft)",
    );
  });

  it("warn of a cradle more than 30° from the vertical, and not of one within", () => {
    expect(saying("rocket-tilt")).toContain("leans 70° from the vertical");
    expect(codes({})).toContain(ofShot("warning rocket-tilt"));
    expect(codes({ angleRad: exactly((61 * Math.PI) / 180) }).join()).not.toContain("tilt");
  });

  it("warn beyond 320 N·s, 125 g of propellant and 1500 g, naming which", () => {
    expect(codes({}).join()).not.toContain("over-limit");
    expect(saying("rocket-over-limit", { massKg: exactly(1.6) })).toMatch(/: 1500 g all-up\.$/);
    expect(saying("rocket-over-limit", { motors: [{ ...MOTOR, propellantKg: exactly(0.13) }] })).toContain(
      "125 g",
    );
    expect(saying("rocket-over-limit", { motors: [{ ...MOTOR, thrust: packet(321) }] })).toContain("320 N·s");
    expect(codes({ massKg: null }).join()).not.toContain("over-limit");
  });

  it("speak of a motor that fails only when there are several", () => {
    expect(codes({})).toContain(ofShot("note rocket-several-motors"));
    expect(codes({ motors: [MOTOR] })).not.toContain(ofShot("note rocket-several-motors"));
  });

  it("all end by deferring to those who decide, name waiting 60 s, and claim nowhere that anything is safe", () => {
    const all = rocketCautions({ ...FACTS, massKg: exactly(2) });
    expect(all.length).toBeGreaterThanOrEqual(7);
    for (const { cause, remedy, code } of all) {
      expect(remedy.endsWith(ROCKET_DEFERENCE), code).toBe(true);
      expect(`${cause} ${remedy}`).not.toMatch(/\bsafe/i);
      expect(code.startsWith("rocket-")).toBe(true);
    }
    expect(all.find(({ code }) => code === "rocket-ignition")!.remedy).toMatch(/interlock.*wait 60 s/);
  });
});
