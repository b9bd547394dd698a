import { describe, expect, it } from "vitest";
import {
  burnLimits,
  cumulativeImpulse,
  meanThrust,
  peakThrust,
  specificImpulse,
  type ThrustCurve,
  totalImpulse,
  trapezoidCurve,
} from "../../../../src/shared/launch/rocket/thrust-curve.ts";
import {
  readThrustCurve,
  thrustCurveFault,
  thrustCurveText,
} from "../../../../src/shared/launch/rocket/thrust-curve-csv.ts";
import { FaultError } from "../../../../src/shared/quantity/notice.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import fc from "../../../support/drawn-inputs.ts";
import { CURVE } from "./rocket-cases.ts";

function faultOf(text: string) {
  try {
    readThrustCurve(text);
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
  throw new Error("no fault");
}

describe("readThrustCurve", () => {
  it("reads commas, semicolons or spaces with decimal commas, tabs, headers, comments and empty lines alike", () => {
    const points = [
      [0, 0],
      [0.5, 4.25],
      [1, 0],
    ];
    expect(readThrustCurve("0,0\n0.5,4.25\n1,0")).toEqual(points);
    expect(readThrustCurve("time s;thrust N\r\n0;0\r\n0,5;4,25\r\n1;0\r\n")).toEqual(points);
    expect(readThrustCurve("# bench, 12 May\n\ntime\tthrust\n0\t0\n0.5\t4.25 # peak\n1\t0\n")).toEqual(
      points,
    );
    expect(readThrustCurve("time thrust\n0 0\n0,5   4,25\n 1 0 \n")).toEqual(points);
    expect(readThrustCurve("0 , 0\n0.5 ,4.25\n1, 0")).toEqual(points);
    expect(readThrustCurve("\uFEFF0, 0,\n 5e-1, 4.25,\n1, 0,")).toEqual(points);
  });

  it("begins a curve whose first time is after ignition at [0, 0]", () => {
    expect(readThrustCurve("0.1,5\n1,0")).toEqual([
      [0, 0],
      [0.1, 5],
      [1, 0],
    ]);
  });

  it("reads back what thrustCurveText wrote", () => {
    expect(readThrustCurve(thrustCurveText(CURVE))).toEqual(CURVE);
  });

  it("names the line, counted with header and comments, and what would do", () => {
    const head = "time,thrust\n# a comment\n";
    expect(faultOf(`${head}0,0\n0.2,5\n0.1,6\n1,0`)).toMatchObject({
      code: "thrust-curve-order",
      cause: expect.stringMatching(/^Line 5 .* 0\.1 s, which is not after the 0\.2 s/),
      remedy: expect.stringContaining("order of time"),
    });
    expect(faultOf(`${head}0,0\n0.2,5\n0.2,6\n1,0`).code).toBe("thrust-curve-order");
    expect(faultOf(`${head}0,0\n0.2,-5\n1,0`)).toMatchObject({
      code: "thrust-curve-negative",
      cause: "Line 4 of the thrust curve has a thrust of -5 N.",
    });
    expect(faultOf("-0.1,0\n0.2,5\n1,0")).toMatchObject({
      code: "thrust-curve-time",
      cause: expect.stringContaining("Line 1"),
    });
    expect(faultOf("0,0\n0.2,5\n1,0.4\n")).toMatchObject({
      code: "thrust-curve-end",
      cause: expect.stringMatching(/^Line 3 .* 0\.4 N at 1 s/),
      remedy: expect.stringContaining("Add a last line"),
    });
    expect(faultOf("0,0\nfive,2\n1,0")).toMatchObject({
      code: "thrust-curve-line",
      cause: expect.stringContaining("Line 2"),
    });
    expect(faultOf("0,03,4,0\n1,0").code).toBe("thrust-curve-line"); // decimal commas need semicolons
    expect(faultOf("time,thrust\nagain,words\n0,1\n1,0").cause).toContain("Line 2");
  });

  it("refuses fewer than two points, more than 2000, and no thrust at all", () => {
    expect(faultOf("time,thrust\n").cause).toContain("no points");
    expect(faultOf("0,3")).toMatchObject({
      code: "thrust-curve-short",
      cause: expect.stringContaining("one point"),
    });
    expect(
      faultOf(Array.from({ length: 2001 }, (_, i) => `${i},${i === 2000 ? 0 : 1}`).join("\n")).code,
    ).toBe("thrust-curve-long");
    expect(faultOf("0,0\n1,0").code).toBe("thrust-curve-none");
  });

  it("thrustCurveFault finds nothing in the checked curve, and a number that is none", () => {
    const name = (at: number) => `Point ${at + 1}`;
    expect(thrustCurveFault(CURVE, name)).toBeNull();
    const broken: ThrustCurve = [
      [0, 0],
      [Number.NaN, 2],
      [1, 0],
    ];
    expect(thrustCurveFault(broken, name)).toMatchObject({ code: "thrust-curve-number" });
  });
});

describe("trapezoidCurve", () => {
  it("works out by hand: 10 N·s at 5 N mean, rising 0.2 s and falling 0.4 s, is level at 10/1.7 N for 1.4 s", () => {
    const curve = unwrap(trapezoidCurve({ totalImpulseNs: 10, meanThrustN: 5, riseS: 0.2, fallS: 0.4 }));
    const level = 10 / 1.7;
    expect(curve).toEqual([
      [0, 0],
      [0.2, expect.closeTo(level, 12)],
      [1.6, expect.closeTo(level, 12)],
      [2, 0],
    ]);
  });

  it("keeps impulse and mean thrust, whatever the shape", () => {
    const share = fc.double({ min: 0, max: 0.5, noNaN: true });
    const size = fc.double({ min: 0.1, max: 300, noNaN: true });
    fc.assert(
      fc.property(size, size, share, share, (totalImpulseNs, meanThrustN, rise, fall) => {
        const burnS = totalImpulseNs / meanThrustN;
        const curve = unwrap(
          trapezoidCurve({ totalImpulseNs, meanThrustN, riseS: rise * burnS, fallS: fall * burnS }),
        );
        expect(totalImpulse(curve) / totalImpulseNs).toBeCloseTo(1, 12);
        expect(meanThrust(curve) / meanThrustN).toBeCloseTo(1, 12);
      }),
    );
  });

  it("refuses a rise and fall longer than the burn, and throws on a caller's bug", () => {
    expect(trapezoidCurve({ totalImpulseNs: 10, meanThrustN: 5, riseS: 1.2, fallS: 1 })).toMatchObject({
      ok: false,
      code: "rise-and-fall-too-long",
      numbers: { burnS: 2, riseAndFallS: 2.2 },
    });
    expect(() => trapezoidCurve({ totalImpulseNs: 0, meanThrustN: 5, riseS: 0, fallS: 0 })).toThrow(
      RangeError,
    );
  });
});

describe("thrust curves", () => {
  const anyCurve = fc
    .array(
      fc.tuple(fc.double({ min: 0.001, max: 1, noNaN: true }), fc.double({ min: 0, max: 50, noNaN: true })),
      {
        minLength: 2,
        maxLength: 20,
      },
    )
    .map((steps): ThrustCurve => {
      let t = 0;
      return steps.map(([dt, f]) => {
        t += dt;
        return [t, f];
      });
    });

  it("sum to the same impulse wherever a line is cut in two, and scale with time and thrust", () => {
    fc.assert(
      fc.property(anyCurve, fc.double({ min: 0.1, max: 0.9, noNaN: true }), (curve, part) => {
        const [[ta, fa], [tb, fb]] = [curve[0]!, curve[1]!];
        const cut: ThrustCurve = [
          curve[0]!,
          [ta + part * (tb - ta), fa + part * (fb - fa)],
          ...curve.slice(1),
        ];
        const whole = totalImpulse(curve);
        expect(totalImpulse(cut)).toBeCloseTo(whole, 9);
        expect(totalImpulse(curve.map(([t, f]) => [2 * t, 3 * f]))).toBeCloseTo(6 * whole, 8);
        expect(cumulativeImpulse(curve)).toHaveLength(curve.length);
      }),
    );
  });

  it("peakThrust, meanThrust and totalImpulse of no curve are 0", () => {
    expect([peakThrust([]), meanThrust([]), totalImpulse([])]).toEqual([0, 0, 0]);
  });

  it("burnLimits starts at ignition where thrust jumps, and throws without thrust", () => {
    const jump: ThrustCurve = [
      [0, 10],
      [1, 10],
      [2, 0],
    ];
    const [from, to] = burnLimits(jump);
    expect(from).toBe(0);
    expect(to).toBeCloseTo(1.95, 12); // 10 (2 − t) = 0.5
    expect(() => burnLimits([])).toThrow(RangeError);
    expect(() => burnLimits(jump, 1)).toThrow(RangeError);
    expect(() => specificImpulse(10, 0)).toThrow(RangeError);
  });
});
