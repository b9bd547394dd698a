import { describe, expect, it } from "vitest";
import { highestPlace } from "../../src/shared/launch/flight-after.ts";
import { predictRam } from "../../src/shared/launch/ram/predict-ram.ts";
import { speedFromApogee, terminalSpeed } from "../../src/shared/launch/vertical/vertical-shot.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { propagate } from "../../src/shared/uncertainty/propagate.ts";
import { linearHolds, propagateByDraws } from "../../src/shared/uncertainty/propagate-by-draws.ts";
import { apogeeOf, fallThrough, speedPerHeight } from "../reference/vertical-shot-forms.ts";
import { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";
import fc from "../support/drawn-inputs.ts";

/*
 * Closed forms of the vertical shot with quadratic drag: e.g. J. R. Taylor, Classical Mechanics, 2.4. The
 * figures to many digits were computed with numpy 1.24 from these forms and checked against scipy 1.10
 * solve_ivp (DOP853, rtol 1e-12): tools/reference/rocket.py.
 */

const near = (value: number, digits: number) => expect.closeTo(value, digits);

describe("vertical shot", () => {
  it("speedFromApogee of 120 m without drag is √(2 g h) = 48.5138743 m/s, reached in 4.9470384 s", () => {
    const speed = speedFromApogee(120, Infinity);
    expect(speed).toBeCloseTo(48.5138743, 7);
    expect(apogeeOf(speed, Infinity)).toEqual({ heightM: near(120, 10), timeS: near(4.9470384, 7) });
  });
  it.each([
    [120, 50.5653867],
    [80, 53.3354649],
    [60, 57.6371401],
    [40, 73.2510824],
  ])("speedFromApogee of 120 m at a terminal speed of %d m/s is %d m/s", (terminal, speed) => {
    expect(speedFromApogee(120, terminal)).toBeCloseTo(speed, 7);
  });
  it("apogeeOf takes 4.7969168 s to 120 m at a terminal speed of 80 m/s, 4.3683733 s at 40, 4.6824238 s at 60", () => {
    expect(apogeeOf(speedFromApogee(120, 80), 80).timeS).toBeCloseTo(4.7969168, 7);
    expect(apogeeOf(speedFromApogee(120, 40), 40).timeS).toBeCloseTo(4.368373276803847, 10);
    expect(apogeeOf(speedFromApogee(120, 60), 60).timeS).toBeCloseTo(4.68242383297405, 10);
  });
  it.each([
    [50, 60, 96.7954262, 4.2506153],
    [60, 80, 145.627582, 5.2495081],
    [40.461859577279284, 60, 68.802563, null],
  ])("apogeeOf %d m/s at a terminal speed of %d m/s is %d m", (speed, terminal, height, time) => {
    const top = apogeeOf(speed, terminal);
    expect(top.heightM).toBeCloseTo(height, 6);
    if (time !== null) expect(top.timeS).toBeCloseTo(time, 7);
  });
  it("fallThrough 120 m at a terminal speed of 40 m/s lands at 35.106780 m/s after 5.5698129 s", () => {
    expect(fallThrough(120, 40)).toEqual({
      speedMPerS: near(35.10677999780959, 10),
      timeS: near(5.5698128522143335, 10),
    });
  });
  it("terminalSpeed of 0.25 kg, C_d 0.35, 41 mm in 1.225 kg/m³ is 93.071021 m/s", () => {
    expect(terminalSpeed(0.25, 0.35 * (Math.PI / 4) * 0.041 ** 2, 1.225)).toBeCloseTo(93.071021, 6);
  });
  it("a sabot shot of 0.25 kg from the barrel of the vertical ram case leaves at 40.461860 m/s and tops out at 83 m at most", () => {
    const { exitSpeedMPerS } = unwrap(predictRam(RAM_CASES.vertical));
    expect(exitSpeedMPerS).toBeCloseTo(40.46186, 5);
    // the ram is good to 1e-8 of speed
    expect(apogeeOf(exitSpeedMPerS, 60).heightM).toBeCloseTo(68.802563, 4);
    expect(apogeeOf(exitSpeedMPerS, Infinity).heightM).toBeCloseTo(83.47, 2);
  });
  it("speedPerHeight is the slope of speedFromApogee, and u(v)/v = u(h)/2h without drag", () => {
    const slope = (speedFromApogee(120.001, 60) - speedFromApogee(119.999, 60)) / 0.002;
    expect(speedPerHeight(speedFromApogee(120, 60), 60)).toBeCloseTo(slope, 8);
    const free = speedFromApogee(120, Infinity);
    expect((speedPerHeight(free, Infinity) * 2) / free).toBeCloseTo(2 / 240, 12);
  });
  it("climbing to its apogee and back gives the speed and height again, whatever the drag", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 200, noNaN: true }),
        fc.double({ min: 5, max: 1e5, noNaN: true }),
        (speed, terminal) => {
          const { heightM } = apogeeOf(speed, terminal);
          expect(speedFromApogee(heightM, terminal) / speed).toBeCloseTo(1, 8);
          expect(fallThrough(heightM, terminal).speedMPerS).toBeLessThanOrEqual(speed * (1 + 1e-12));
        },
      ),
      { seed: 3 },
    );
  });
  it("tends to the forms without drag as the terminal speed grows", () => {
    const far = 1e6;
    expect(apogeeOf(48, far).heightM / apogeeOf(48, Infinity).heightM).toBeCloseTo(1, 8); // v²/2v_t² = 1.2e-9
    expect(fallThrough(90, far).timeS / fallThrough(90, Infinity).timeS).toBeCloseTo(1, 8);
    expect(speedFromApogee(90, far) / speedFromApogee(90, Infinity)).toBeCloseTo(1, 8);
  });
  it("highestPlace by integration is apogeeOf straight up", () => {
    const dragAreaM2 = (2 * 0.25 * G) / (1.225 * 60 ** 2);
    const body = { massKg: 0.25, airDensity: 1.225, headwindMPerS: 0, dragAreaM2 };
    const top = highestPlace({ ...body, speedMPerS: 50, angleRad: Math.PI / 2 });
    expect(top).toEqual({ heightM: near(96.7954262, 6), timeS: near(4.2506153, 6) });
  });
  it("throws RangeError on a negative height, speed or drag area", () => {
    expect(() => speedFromApogee(-1, 60)).toThrow(RangeError);
    expect(() => apogeeOf(-1, 60)).toThrow(RangeError);
    expect(() => fallThrough(1, 0)).toThrow(RangeError);
    expect(() => terminalSpeed(0.25, -1, 1.2)).toThrow(/-1 m²/);
  });
});

/*
 * A reading of 120 ± 2 m brought to the day's 303.15 ± 5 K by T/288.15, terminal speed 80 ± 8 m/s. numpy
 * 1.24, 1e6 draws: mean 55.184, sd 1.481, 95 % in 52.76 to 58.56; first order 54.985 ± 1.363, whose interval
 * misses the upper tail. Method: JCGM 101:2008.
 */
describe("a skewed speed from an apogee", () => {
  const inputs = [
    { name: "kelvin", value: 303.15, u: 5 },
    { name: "off", value: 0, u: 2 },
    { name: "terminal", value: 80, u: 8 },
  ];
  const speed = ([kelvin, off, terminal]: readonly number[]) =>
    speedFromApogee((120 * kelvin!) / 288.15 + off!, terminal!);

  it("is 54.985 ± 1.363 m/s to first order", () => {
    const { values, u } = unwrap(propagate((x) => [speed(x)], inputs));
    expect(values[0]).toBeCloseTo(54.985, 3);
    // a step of a whole u sees some of the bend: 1.37 where the tangent gives 1.363
    expect(u[0]).toBeCloseTo(1.363, 1);
  });
  it("is 55.184 m/s with sd 1.481 and 95 % in 52.76 to 58.56 by draws, so that first order may not stand", () => {
    const draws = 400_000;
    const drawn = propagateByDraws(speed, inputs, createChance(7), draws)!;
    // of the mean; the ends scatter about four times as much
    const fourErrors = (4 * 1.481) / Math.sqrt(draws);
    expect(Math.abs(drawn.value - 55.184)).toBeLessThan(fourErrors + 0.0005);
    expect(Math.abs(drawn.u - 1.481)).toBeLessThan(fourErrors + 0.0005);
    expect(Math.abs(drawn.low95 - 52.76)).toBeLessThan(4 * fourErrors + 0.005);
    expect(Math.abs(drawn.high95 - 58.56)).toBeLessThan(4 * fourErrors + 0.005);
    expect(linearHolds({ value: 54.985, u: 1.363 }, drawn)).toBe(false);
  });
});
