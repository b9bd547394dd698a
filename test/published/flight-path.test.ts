import { describe, expect, it } from "vitest";
import { coasting, pathToGround } from "../../src/shared/launch/path-to-ground.ts";
import { predictRocket } from "../../src/shared/launch/rocket/predict-rocket.ts";
import { flyRocket } from "../../src/shared/launch/rocket/rocket-flight.ts";
import type { RocketInputs } from "../../src/shared/launch/rocket/rocket-inputs.ts";
import type { ThrustCurve } from "../../src/shared/launch/rocket/thrust-curve.ts";
import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import reference from "./flight-path.json" with { type: "json" };

/*
 * Reference figures: an independent program, tools/reference/flight_path.py (scipy 1.x, DOP853 with events),
 * from the cradle to the ground. Asked for are 0.01 %; both are good to more.
 */
const WITHIN = 1e-6;

type Flight = (typeof reference.flights)[number];

function inputsOf({ inputs: c }: Flight): RocketInputs {
  return {
    massKg: c.m,
    angleRad: (c.deg * Math.PI) / 180,
    railM: c.rail,
    slidingN: c.friction,
    boosterKg: c.booster,
    dragAreaM2: c.CdA,
    airDensity: c.rho,
    headwindMPerS: c.head,
    pitchInertiaKgM2: null,
    yawInertiaKgM2: null,
    turnsOnCradle: false,
    motors: c.motors.map((motor, i) => {
      const [times, forces] = reference.curves[motor.curve as "CURVE" | "SHORT"] as [number[], number[]];
      return {
        name: String(i),
        curve: times.map((t, k) => [t, forces[k]!]) as ThrustCurve,
        thrustScale: motor.scale,
        propellantKg: motor.mp,
        aheadM: 0,
        aboveM: 0,
        rightM: 0,
        tiltUpRad: 0,
        tiltRightRad: 0,
        delayS: motor.delay,
        lit: true,
        ejectionS: motor.eject,
      };
    }),
  };
}

describe("an unpiloted flight from the cradle to the ground", () => {
  it.each(reference.flights.map((flight) => [flight.name, flight] as const))("%s", (_, flight) => {
    const { inputs: c } = flight;
    const inputs = inputsOf(flight);
    const { leaving } = unwrap(predictRocket(inputs));
    const path = flyRocket(inputs, leaving, {
      heightM: c.height,
      crosswindMPerS: c.cross,
      greatestLiftAreaM2: 0,
      nose: c.nose === "air" ? "into-the-air" : "as-it-left",
    })!;
    const near = (value: number, other: number, of = other) =>
      expect(Math.abs(value - other), `${value}, scipy ${other}`).toBeLessThan(WITHIN * Math.abs(of));
    near(leaving.speedMPerS, flight.leave.v);
    near(path.top.y, flight.apogee);
    near(path.top.timeS, flight.apogeeS);
    near(path.down.x, flight.range, Math.max(1, Math.abs(flight.range)));
    near(path.down.right, flight.right, Math.max(1, Math.abs(flight.range)));
    near(path.down.timeS, flight.downS);
    near(path.down.speedMPerS, flight.impact);
  });
});

describe("pathToGround without thrust", () => {
  const coast = coasting(0.7);
  const body = {
    speedMPerS: 18,
    angleRad: 0.6,
    heightM: 2.4,
    dragAreaM2: 0,
    greatestLiftAreaM2: 0,
    airDensity: 1.2,
    headwindMPerS: 0,
    crosswindMPerS: 0,
    nose: "into-the-air" as const,
  };

  // The parabola of a body without air: t = (v_y + √(v_y² + 2 g h))/g, top v_y²/(2g), impact √(v² + 2 g h).
  it("is the parabola where there is no air, whatever the wind", () => {
    const [vx, vy] = [18 * Math.cos(0.6), 18 * Math.sin(0.6)];
    const timeS = (vy + Math.sqrt(vy ** 2 + 2 * G * 2.4)) / G;
    for (const wind of [0, 5]) {
      const path = pathToGround({ ...body, headwindMPerS: wind, crosswindMPerS: -wind }, coast, 0)!;
      expect(path.down.timeS).toBeCloseTo(timeS, 8); // as a fall from the height of release

      expect(path.down.x).toBeCloseTo(vx * timeS, 7);
      expect(path.down.right).toBeCloseTo(0, 9);
      expect(path.down.speedMPerS).toBeCloseTo(Math.sqrt(18 ** 2 + 2 * G * 2.4), 7);
      expect(path.top.y).toBeCloseTo(vy ** 2 / (2 * G), 8);
    }
  });

  it("in air that moves is the path in still air seen from the ground", () => {
    const still = pathToGround({ ...body, dragAreaM2: 0.01 }, coast, 0)!;
    const [vx, vy] = [18 * Math.cos(0.6) - 3, 18 * Math.sin(0.6)];
    // The same velocity through the air, the air going along at 3 m/s the other way.
    const windy = pathToGround(
      {
        ...body,
        dragAreaM2: 0.01,
        headwindMPerS: 3,
        speedMPerS: Math.hypot(vx, vy),
        angleRad: Math.atan2(vy, vx),
      },
      coast,
      0,
    )!;
    expect(windy.down.timeS).toBeCloseTo(still.down.timeS, 7);
    expect(windy.down.x).toBeCloseTo(still.down.x - 3 * still.down.timeS, 6);
  });

  it("is carried farther by a wing, and says nothing of what stays up for two minutes", () => {
    const glide = { ...body, heightM: 20, dragAreaM2: 0.02 };
    const plain = pathToGround(glide, coast, 0)!;
    const winged = pathToGround({ ...glide, greatestLiftAreaM2: 0.15 }, coast, 0)!;
    expect(winged.down.x).toBeGreaterThan(1.5 * plain.down.x);
    expect(pathToGround({ ...glide, heightM: 2500, greatestLiftAreaM2: 0.15 }, coast, 0)).toBeNull();
    const chute = { ...body, dragAreaM2: 12 }; // falls at 0.98 m/s with its 0.7 kg
    expect(pathToGround({ ...chute, heightM: 100 }, coast, 0)!.down.timeS).toBeGreaterThan(100);
    expect(pathToGround({ ...chute, heightM: 500 }, coast, 0)).toBeNull();
  });

  it("samples the path at even times, ends included", () => {
    const path = pathToGround({ ...body, dragAreaM2: 0.01 }, coast, 0)!;
    const points = path.sampled(41);
    expect(points[0]).toMatchObject({ timeS: 0, x: 0, y: 0 });
    expect(points.at(-1)).toMatchObject({ timeS: path.down.timeS, x: path.down.x });
    expect(points.at(-1)!.y).toBeCloseTo(-2.4, 8);
    expect(Math.max(...points.map(({ y }) => y))).toBeLessThanOrEqual(path.top.y);
    expect(Math.max(...points.map(({ y }) => y))).toBeGreaterThan(0.99 * path.top.y);
    expect(path.at(path.top.timeS)!.y).toBeCloseTo(path.top.y, 9);
    expect([path.at(-0.1), path.at(path.down.timeS + 0.1)]).toEqual([null, null]);
  });

  it("is down at once when it leaves the ground downwards, and refuses what cannot be", () => {
    expect(pathToGround({ ...body, heightM: 0, angleRad: -0.1 }, coast, 0)!.down.x).toBe(0);
    expect(() => pathToGround({ ...body, heightM: -1 }, coast, 0)).toThrow("heightM must be >= 0; got -1");
    expect(() => pathToGround({ ...body, airDensity: 0 }, coast, 0)).toThrow("airDensity must be > 0; got 0");
    expect(() => pathToGround({ ...body, angleRad: Number.NaN }, coast, 0)).toThrow(
      "angleRad must be finite",
    );
    expect(() => pathToGround(body, coasting(0), 0)).toThrow("massKg must be > 0; got 0");
    expect(() => pathToGround(body, coast, -1)).toThrow("no leg holds the start at -1 s");
  });
});
