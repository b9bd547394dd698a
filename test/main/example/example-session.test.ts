import { describe, expect, it } from "vitest";
import { exampleChance } from "../../../src/main/example/example-chance.ts";
import { exampleMotion, examplePixel } from "../../../src/main/example/example-motion.ts";
import {
  type TargetId,
  TRUE_AIRFRAME,
  TRUE_CAMERA,
  TRUE_PLUMB,
  TRUE_RAM,
  TRUE_ROD_M,
  TRUE_SCALE_ROD,
  worldToPixel,
} from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { EXAMPLE_SHOT_ID } from "../../../src/main/example/example-truth.ts";
import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import { firstOf } from "../../support/one-of-each.ts";

const SEEDS = Array.from({ length: 200 }, (_, i) => i + 1);
const sessions = SEEDS.map((seed) => exampleSession(seed));

/** Errors in units of the stated u, one a seed. */
function errorsInU(of: (session: (typeof sessions)[number]) => number): number[] {
  return sessions.map(of);
}

/** Mean 0 and standard deviation 1 within four standard errors, and neighbouring seeds not alike. */
function expectStandardNormal(errors: readonly number[]) {
  const n = errors.length;
  const mean = errors.reduce((sum, e) => sum + e, 0) / n;
  const square = errors.reduce((sum, e) => sum + e * e, 0) / n;
  const lag = errors.slice(1).reduce((sum, e, i) => sum + e * errors[i]!, 0) / (n - 1);
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(square - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(lag)).toBeLessThan(4 / Math.sqrt(n - 1));
}

it("gives a session that its schema takes, for any seed", () => {
  for (const session of [exampleSession(0), exampleSession(2 ** 53 - 1), ...sessions.slice(0, 5)]) {
    expect(SessionSchema.safeParse(session).error).toBeUndefined();
    expect(session.shots.map((shot) => shot.id)).toEqual([EXAMPLE_SHOT_ID]);
  }
});

it("refuses seeds that are no whole number from 0, with the value", () => {
  expect(() => exampleSession(-1)).toThrow(/whole number from 0 as the seed; got -1/);
  expect(() => exampleSession(1.5)).toThrow(RangeError);
});

it("is the same for the same seed and has every pick, length and rate different for another", () => {
  expect(exampleSession(3)).toEqual(sessions[2]);
  const [one, other] = [sessions[0]!, sessions[1]!];
  const drawn = (session: typeof one) => {
    const shot = session.shots[0]!;
    return [
      ...shot.scale!.a,
      ...shot.scale!.b,
      shot.scale!.rodM.value,
      ...shot.plumb!.top,
      ...shot.plumb!.bottom,
      firstOf(session).airframe.centreOfGravity!.alongM.value,
      firstOf(session).airframe.centreOfGravity!.aboveM.value,
      session.cameras[0]!.captureRateHz.value,
      session.points[1]!.body!.forwardM.value,
    ];
  };
  drawn(one).forEach((value, i) => {
    expect(value).not.toBe(drawn(other)[i]);
  });
  const frameOf = (session: typeof one) => session.shots[0]!.marks.map((m) => [m.frame, m.x, m.y].join(" "));
  const same = frameOf(one).filter((mark) => frameOf(other).includes(mark));
  expect(same).toEqual([]);
});

it("gives different uses of one seed, and one use of neighbouring seeds, unlike streams", () => {
  const first = (seed: number, use: "session" | "noise") => exampleChance(seed, use).normal();
  expectStandardNormal(SEEDS.map((seed) => first(seed, "session")));
  const products = SEEDS.map((seed) => first(seed, "session") * first(seed, "noise"));
  expect(Math.abs(products.reduce((a, b) => a + b, 0) / 200)).toBeLessThan(4 / Math.sqrt(200));
});

describe("over 200 seeds, each stated u is the spread of the error it stands for", () => {
  it("of the rod's length", () => {
    expectStandardNormal(
      errorsInU(({ shots: [shot] }) => (shot!.scale!.rodM.value - TRUE_ROD_M) / shot!.scale!.rodM.u),
    );
  });
  it("of the capture rate, the same in camera and clock", () => {
    expectStandardNormal(
      errorsInU(({ cameras }) => (cameras[0]!.captureRateHz.value - 960) / cameras[0]!.captureRateHz.u),
    );
    for (const { cameras, shots } of sessions) {
      expect(shots[0]!.clock).toEqual({ kind: "capture-rate", captureRateHz: cameras[0]!.captureRateHz });
    }
  });
  it("of the place of the centre of gravity", () => {
    expectStandardNormal(
      errorsInU(({ airframes: [airframe] }) => (airframe!.centreOfGravity!.alongM.value - 0.135) / 0.001),
    );
    expectStandardNormal(
      errorsInU(({ airframes: [airframe] }) => (airframe!.centreOfGravity!.aboveM.value - 0.006) / 0.001),
    );
  });
  it("of the distance between the targets by their body places", () => {
    const apart = ({ points }: (typeof sessions)[number]) =>
      points[0]!.body!.forwardM.value - points[1]!.body!.forwardM.value;
    expectStandardNormal(errorsInU((session) => (apart(session) - 0.37) / 0.0005));
  });
  it("of the ends of the scale and the upper bead of the plumb line", () => {
    const [a, b] = [worldToPixel(TRUE_SCALE_ROD.a), worldToPixel(TRUE_SCALE_ROD.b)];
    const top = worldToPixel(TRUE_PLUMB.top);
    for (const axis of [0, 1] as const) {
      expectStandardNormal(errorsInU(({ shots: [shot] }) => (shot!.scale!.a[axis] - a[axis]) / 0.4));
      expectStandardNormal(errorsInU(({ shots: [shot] }) => (shot!.scale!.b[axis] - b[axis]) / 0.4));
      expectStandardNormal(errorsInU(({ shots: [shot] }) => (shot!.plumb!.top[axis] - top[axis]) / 0.4));
    }
  });
  it("of the direction of the plumb line: picks and its own hang together", () => {
    expectStandardNormal(
      errorsInU(({ shots: [shot] }) => {
        const { top, bottom, uPx, hangRad } = shot!.plumb!;
        const lengthPx = Math.hypot(bottom[0] - top[0], bottom[1] - top[1]);
        const leaning = Math.atan2(top[0] - bottom[0], bottom[1] - top[1]);
        return (leaning - TRUE_CAMERA.rollRad) / Math.hypot((Math.SQRT2 * uPx) / lengthPx, hangRad);
      }),
    );
  });
  it("of the marks, in both directions", () => {
    const errors = sessions
      .slice(0, 10)
      .flatMap(({ shots: [shot] }) => shot!.marks)
      .flatMap((mark) => {
        const [x, y] = examplePixel(mark.pointId as TargetId, mark.frame);
        return [(mark.x - x) / mark.u, (mark.y - y) / mark.u];
      });
    expect(errors.length).toBeGreaterThan(6000);
    expectStandardNormal(errors);
  });
});

it("marks nearly every frame from about 20 before motion to about 50 after release, by hand", () => {
  const { startS, releaseS } = exampleMotion();
  for (const { shots } of sessions.slice(0, 20)) {
    const { marks } = shots[0]!;
    const frames = marks.map((mark) => mark.frame);
    expect(startS * 960 - Math.min(...frames)).toBeGreaterThan(17);
    expect(Math.max(...frames) - releaseS * 960).toBeGreaterThan(46);
    const possible = 2 * (Math.max(...frames) - Math.min(...frames) + 1);
    expect(marks.length / possible).toBeGreaterThan(0.93);
    expect(marks.length).toBeLessThan(possible);
    expect(new Set(marks.map((mark) => mark.by))).toEqual(new Set(["hand"]));
  }
});

it("believes a launcher near the true one, each input within 2.5 of its u, which the model makes a little too fast", () => {
  const { shots } = sessions[0]!;
  const { launcher, airframe } = firstOf(sessions[0]!);
  if (launcher?.kind !== "compressed-air-ram") throw new Error("the example's launcher is a ram");
  const believed = launcher;
  const pairs = [
    [believed.tankVolumeM3, TRUE_RAM.tankVolumeM3],
    [believed.boreM, TRUE_RAM.boreM],
    [believed.strokeM, TRUE_RAM.strokeM],
    [believed.deadVolumeM3, TRUE_RAM.deadVolumeM3],
    [believed.valve.conductance, TRUE_RAM.valve.conductance],
    [believed.valve.criticalRatio, TRUE_RAM.valve.criticalRatio],
    [believed.openingS, TRUE_RAM.openingS],
    [believed.angleRad, TRUE_RAM.angleRad],
    [believed.breakawayN, TRUE_RAM.breakawayN],
    [believed.slidingN, TRUE_RAM.slidingN],
    [believed.viscousNsPerM, TRUE_RAM.viscousNsPerM],
    [airframe.massKg!, TRUE_AIRFRAME.massKg],
    [airframe.pitchInertiaKgM2!, TRUE_AIRFRAME.pitchInertiaKgM2],
    [shots[0]!.conditions.gaugePressurePa!, TRUE_RAM.gaugePressurePa],
    [shots[0]!.conditions.temperatureK, TRUE_RAM.temperatureK],
    [shots[0]!.conditions.airPressurePa, TRUE_RAM.airPressurePa],
  ] as const;
  for (const [{ value, u }, truth] of pairs) expect(Math.abs(value - truth)).toBeLessThanOrEqual(2.5 * u);
  expect(pairs.filter(([{ value }, truth]) => value !== truth).length).toBeGreaterThan(10);

  const predicted = unwrap(
    predictRam({
      ...TRUE_RAM,
      tankVolumeM3: believed.tankVolumeM3.value,
      gaugePressurePa: shots[0]!.conditions.gaugePressurePa!.value,
      airPressurePa: shots[0]!.conditions.airPressurePa.value,
      temperatureK: shots[0]!.conditions.temperatureK.value,
      boreM: believed.boreM.value,
      strokeM: believed.strokeM.value,
      deadVolumeM3: believed.deadVolumeM3.value,
      valve: {
        conductance: believed.valve.conductance.value,
        criticalRatio: believed.valve.criticalRatio.value,
      },
      openingS: believed.openingS.value,
      totalMassKg: airframe.massKg!.value + believed.movingMassKg.value,
      angleRad: believed.angleRad.value,
      breakawayN: believed.breakawayN.value,
      slidingN: believed.slidingN.value,
      viscousNsPerM: believed.viscousNsPerM.value,
    }),
  );
  const fast = predicted.exitSpeedMPerS / exampleMotion().ram.exitSpeedMPerS;
  expect(fast).toBeGreaterThan(1.02);
  expect(fast).toBeLessThan(1.09);
});
