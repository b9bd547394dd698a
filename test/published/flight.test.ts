import { describe, expect, it } from "vitest";
import {
  bifilarInertia,
  measuredBifilarInertia,
  swingRatio,
} from "../../src/shared/launch/bifilar-inertia.ts";
import {
  bankLoadFactor,
  heightToStallSpeed,
  liftAvailable,
  sinkBelowStall,
  steepestBank,
} from "../../src/shared/launch/flight-after.ts";
import { gustAlleviation, sharpGustLoad } from "../../src/shared/launch/gust.ts";
import { airspeed, stallSpeed } from "../../src/shared/launch/stall.ts";
import { integrate } from "../../src/shared/numeric/integrate.ts";
import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

const DEGREE = Math.PI / 180;
const WING = { massKg: 1.2, wingAreaM2: 0.25 };
const STALL = stallSpeed({ ...WING, liftCoefficientMax: 1.1, airDensity: 1.225 }); // 8.358562 m/s
const RELEASE = 14.119444187701806; // m/s, exit speed of the baseline ram

/*
 * Level flight: definition of the lift coefficient, e.g. J. D. Anderson, Introduction to Flight,
 * 6.6 and 6.17 (level turn).
 */
describe("margin at release", () => {
  it("release at 14.1194442 m/s is 1.6892193 times the stall speed, 1.3303059 times in a tail gust of 3 m/s", () => {
    expect(airspeed(RELEASE, 0, 0) / STALL).toBeCloseTo(1.6892193, 7);
    expect(airspeed(RELEASE, 0, -3) / STALL).toBeCloseTo(1.3303059, 7);
  });
  it("liftAvailable there is 2.8534618 times the weight", () => {
    expect(liftAvailable(RELEASE, STALL)).toBeCloseTo(2.8534618, 7);
  });
  it("bankLoadFactor of 45° is 1.41421, which raises the stall speed by 1.18921; steepestBank leads back", () => {
    expect(bankLoadFactor(45 * DEGREE)).toBeCloseTo(Math.SQRT2, 12);
    const banked = stallSpeed({
      ...WING,
      liftCoefficientMax: 1.1,
      airDensity: 1.225,
      loadFactor: bankLoadFactor(45 * DEGREE),
    });
    expect(banked / STALL).toBeCloseTo(1.189207115, 9);
    expect(steepestBank(Math.SQRT2)).toBeCloseTo(45 * DEGREE, 12);
    expect(steepestBank(0.7)).toBe(0);
  });
  it("heightToStallSpeed of 6 m/s is 1.7266630 m (energy)", () => {
    expect(heightToStallSpeed(6, STALL)).toBeCloseTo(1.726663, 6);
    expect(heightToStallSpeed(9, STALL)).toBe(0);
  });
});

describe("below stall", () => {
  it("sinkBelowStall from 6 m/s gaining g/2 takes 0.4810128 s, loses 0.3816680 m and sinks at 1.2058507 m/s", () => {
    expect(sinkBelowStall(6, STALL, G / 2)).toEqual({
      timeS: expect.closeTo(0.4810128, 7),
      heightM: expect.closeTo(-0.381668, 7),
      sinkMPerS: expect.closeTo(1.2058507, 7),
    });
  });
  it("is what integrating ÿ = −g [1 − (V/V_s)²] gives", () => {
    const closed = sinkBelowStall(6, STALL, G / 2);
    const run = integrate(
      {
        rhs: (t, y, out) => {
          out[0] = y[1]!;
          out[1] = -G * (1 - ((6 + (G / 2) * t) / STALL) ** 2);
        },
        relTol: 1e-12,
        absTol: [1e-13, 1e-13],
      },
      0,
      new Float64Array(2),
      closed.timeS,
    );
    expect(run.y[0]).toBeCloseTo(closed.heightM, 11);
    expect(-run.y[1]!).toBeCloseTo(closed.sinkMPerS, 11);
  });
  it("throws RangeError where it does not apply: at speed, or without gain", () => {
    expect(() => sinkBelowStall(9, STALL, 1)).toThrow(RangeError);
    expect(() => sinkBelowStall(6, STALL, 0)).toThrow(RangeError);
  });
});

/* Gust formula of 14 CFR 23.341 as in force to 2017: sharp edge, then alleviation. */
describe("gust", () => {
  const gust = { ...WING, liftSlopePerRad: 4.5, airDensity: 1.225 };
  it("sharpGustLoad of 3 m/s is 2.4802505 weights", () => {
    expect(sharpGustLoad({ ...gust, airspeedMPerS: RELEASE, gustMPerS: 3 })).toBeCloseTo(2.4802505, 7);
  });
  it("gustAlleviation at a chord of 0.2 m: μ = 8.7074830, K = 0.5470351, load 1.3567841", () => {
    const { massRatio, factor } = gustAlleviation({ ...gust, meanChordM: 0.2 });
    expect(massRatio).toBeCloseTo(8.707483, 6);
    expect(factor).toBeCloseTo(0.5470351, 7);
    const sharp = sharpGustLoad({ ...gust, airspeedMPerS: RELEASE, gustMPerS: 3 });
    expect(factor * sharp).toBeCloseTo(1.3567841, 7);
  });
  it("sharpGustLoad is first order: the lift of the 11.9954° that 3 m/s add, taken by their tangent", () => {
    const added = Math.atan2(3, RELEASE);
    expect(added / DEGREE).toBeCloseTo(11.9954, 4);
    const { massKg, wingAreaM2, liftSlopePerRad, airDensity } = gust;
    const lift = 0.5 * airDensity * RELEASE ** 2 * wingAreaM2 * liftSlopePerRad * added;
    const sharp = sharpGustLoad({ ...gust, airspeedMPerS: RELEASE, gustMPerS: 3 });
    expect((sharp * massKg * G) / lift).toBeCloseTo(Math.tan(added) / added, 12);
  });
  it("throws RangeError naming the impossible input", () => {
    expect(() => sharpGustLoad({ ...gust, airspeedMPerS: 0, gustMPerS: 3 })).toThrow(/airspeedMPerS/);
    expect(() => gustAlleviation({ ...gust, meanChordM: -1 })).toThrow(/meanChordM/);
  });
});

/*
 * Bifilar pendulum: formula as in M. R. Jardin & E. R. Mueller, AIAA 2007-6822; exact periods by
 * quadrature of ½ I ψ̇² + ½ m ż² = m g Δz to 16 digits with 40-digit arithmetic (mpmath): in doubles Δz
 * cancels at small swings.
 */
describe("bifilar pendulum", () => {
  const hung = { massKg: 1.2, spacingM: 0.3, lengthM: 1.5, periodS: 1.8, swingRad: 0 };
  it("bifilarInertia of 1.2 kg, 0.30 m, 1.5 m, 1.80 s is 0.0144869998 kg·m²", () => {
    expect(unwrap(bifilarInertia(hung))).toBeCloseTo(0.0144869998, 10);
  });
  it.each([
    [1, 1.000019887007933],
    [5, 1.000497329965874],
    [10, 1.001991260696203],
    [15, 1.004487662098985],
    [20, 1.007996476343169],
    [30, 1.018113028673794],
  ])("swingRatio at %d° is %d", (degrees, ratio) => {
    const inertiaKgM2 = 0.0144869998015542;
    expect(swingRatio({ ...hung, inertiaKgM2, swingRad: degrees * DEGREE })).toBeCloseTo(ratio, 12);
  });
  it("bifilarInertia takes a wide swing's longer period out again", () => {
    const periodS = 1.8 * 1.018113028673794;
    expect(unwrap(bifilarInertia({ ...hung, periodS, swingRad: 30 * DEGREE }))).toBeCloseTo(0.0144869998, 10);
  });
  it("measuredBifilarInertia of 0.5 mm, 2 mm, 0.2 ms, 1 g has u/I = 0.369 %", () => {
    const { value, u } = unwrap(
      measuredBifilarInertia({
        massKg: { value: 1.2, u: 0.001 },
        spacingM: { value: 0.3, u: 0.0005 },
        lengthM: { value: 1.5, u: 0.002 },
        periodS: { value: 1.8, u: 0.0002 },
        swingRad: { value: 0, u: 0 },
      }),
    );
    expect(u / value).toBeCloseTo(0.00369225, 7);
  });
  it("refuses a swing the cords do not reach, and throws RangeError on an impossible input", () => {
    expect(bifilarInertia({ ...hung, lengthM: 0.2, swingRad: 1.5 })).toMatchObject({
      code: "swing-too-wide",
    });
    expect(() => bifilarInertia({ ...hung, spacingM: 0 })).toThrow(/spacingM/);
  });
});

/* Push line offset from pitch acceleration: I α = F d about the centre of gravity. */
it("a pitch acceleration of 25 rad/s² under 480 N at 0.018 kg·m² is an offset of 0.9375 mm, and turns 1.8825 rad/s and 4.0609° in 75.3 ms", () => {
  const offset = (inertia: number, alpha: number, force: number) => (inertia * alpha) / force;
  expect(1000 * offset(0.018, 25, 480)).toBeCloseTo(0.9375, 12);
  const u = offset(0.018, 25, 480) * Math.hypot(0.0005 / 0.018, 4 / 25, 12 / 480);
  expect(1000 * u).toBeCloseTo(0.1540373, 7);
});
