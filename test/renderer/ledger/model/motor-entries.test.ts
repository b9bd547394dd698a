import { describe, expect, it } from "vitest";
import {
  type CurveThrust,
  curveOf,
  type PacketThrust,
  packetOf,
  withOneMore,
} from "../../../../src/renderer/ledger/model/motor-entries.ts";
import { meanThrust, totalImpulse } from "../../../../src/shared/launch/rocket/thrust-curve.ts";
import { thrustCurveFault } from "../../../../src/shared/launch/rocket/thrust-curve-csv.ts";
import { freshRocket } from "../../../../src/shared/launchers/rocket/fresh-rocket.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import { freshSession, freshShot } from "../../../../src/shared/session/fresh.ts";
import { RocketLauncherSchema } from "../../../../src/shared/session/launcher-schemas.ts";
import { CURVE } from "../../../shared/launch/rocket/rocket-cases.ts";
import { firstOf, LAUNCHER, oneOfEach } from "../../../support/one-of-each.ts";

const exactly = (value: number) => ({ value, u: 0 });
const packet = (riseS: number, fallS: number): PacketThrust => ({
  by: "trapezoid",
  totalImpulseNs: exactly(10),
  meanThrustN: exactly(5),
  riseS: exactly(riseS),
  fallS: exactly(fallS),
});

describe("freshRocket", () => {
  it("is a launcher that the session takes, with every guess uncertain by a third or more", () => {
    const launcher = RocketLauncherSchema.parse(freshRocket());
    expect(launcher.railM.u / launcher.railM.value).toBeGreaterThanOrEqual(0.33);
    const [motor] = launcher.motors;
    expect(motor!.propellantKg.u / motor!.propellantKg.value).toBeGreaterThanOrEqual(0.33);
    if (motor!.thrust.by !== "trapezoid") throw new Error("not a trapezoid");
    expect(motor!.thrust.totalImpulseNs.u / motor!.thrust.totalImpulseNs.value).toBeGreaterThanOrEqual(0.33);
  });

  it("predicts at once for a light airframe", () => {
    const fresh = freshSession("bench");
    const session = oneOfEach({
      ...fresh,
      launcher: freshRocket(),
      airframe: { ...firstOf(fresh).airframe, massKg: { value: 0.4, u: 0.01 } },
    });
    const { prediction } = predictShot(session, {
      ...freshShot("shot-1", "first", null),
      launcherId: LAUNCHER,
    });
    const speed = prediction!.quantities.releaseSpeed!;
    expect(speed.value).toBeGreaterThan(3);
    expect(speed.u / speed.value).toBeGreaterThan(0.1); // seen to be a guess
  });
});

describe("withOneMore", () => {
  it("adds a motor like the last on the other side, with an id and a name of its own", () => {
    const [motor] = freshRocket().motors;
    const left = { ...motor!, rightM: { value: -0.1, u: 0.002 } };
    const [, second] = withOneMore([left]);
    expect(second).toEqual({ ...left, id: "motor-2", name: "motor 2", rightM: { value: 0.1, u: 0.002 } });
    expect(withOneMore([{ ...left, id: "motor-2" }])[1]!.id).toBe("motor-3");
  });
});

describe("packetOf and curveOf", () => {
  const curve: CurveThrust = { by: "curve", points: CURVE.map(([t, f]) => [t, f]) };

  it("keep impulse and mean thrust from curve to packet", () => {
    const { totalImpulseNs, meanThrustN, riseS, fallS } = packetOf(curve);
    expect(totalImpulseNs.value).toBeCloseTo(10.03, 12);
    expect(meanThrustN.value).toBeCloseTo(10.03 / 1.85, 12);
    expect(riseS.value + fallS.value).toBeLessThan(1.85);
    expect(totalImpulseNs.u).toBeGreaterThan(0);
  });

  it.each([
    [0.2, 0.4],
    [0, 0],
    [1, 1],
    [0, 2],
    [1.5, 1],
  ])(
    "give points that stand as a curve, of the packet's impulse to 0.2 %%, for rise %s s and fall %s s",
    (rise, fall) => {
      const { points } = curveOf(packet(rise, fall));
      expect(thrustCurveFault(points, String)).toBeNull();
      expect(totalImpulse(points) / 10).toBeCloseTo(1, 2);
      expect(Math.abs(totalImpulse(points) / 10 - 1)).toBeLessThan(2e-3);
      expect(Math.abs(meanThrust(points) / 5 - 1)).toBeLessThan(3e-3);
    },
  );
});
