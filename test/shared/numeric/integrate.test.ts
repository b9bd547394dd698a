import { describe, expect, it } from "vitest";
import { denseAt } from "../../../src/shared/numeric/dormand-prince.ts";
import { IntegrationError, integrate, type OdeEvent } from "../../../src/shared/numeric/integrate.ts";
import type { Rhs } from "../../../src/shared/numeric/stepper.ts";

const swing: Rhs = (_t, y, out) => {
  out[0] = y[1]!;
  out[1] = -y[0]!;
};
const problem = { rhs: swing, relTol: 1e-10, absTol: [1e-12, 1e-12] };
const atRest = Float64Array.from([0, 1]); // sin t, cos t
const crossing = (direction: -1 | 0 | 1): OdeEvent => ({ name: "zero", direction, value: (_t, y) => y[0]! });

describe("integrate", () => {
  it("follows a swing for ten turns to the tolerance, and its dense output between steps", () => {
    const run = integrate(problem, 0, atRest, 20 * Math.PI);
    expect(run.event).toBeNull();
    expect(run.t).toBe(20 * Math.PI);
    // 63 radians at 1e-10 a radian or so
    expect(Math.abs(run.y[0]!)).toBeLessThan(1e-8);
    expect(run.y[1]).toBeCloseTo(1, 8);
    for (const dense of run.steps) {
      const t = dense.t0 + 0.37 * dense.h;
      expect(denseAt(dense, t)[0]).toBeCloseTo(Math.sin(t), 7);
    }
  });

  it("counts the steps it had to take back towards the most it may take", () => {
    // A first step of a hundred turns is cut five-fold at the most each time: three are
    // taken back before one stands.
    const run = () => integrate({ ...problem, maxSteps: 3 }, 0, atRest, 1000, 600);
    expect(run).toThrow(new IntegrationError("too-many-steps", 0));
  });

  it("covers the run by steps without a gap and leaves the start untouched", () => {
    const run = integrate(problem, 1, atRest, 3);
    expect(run.steps[0]!.t0).toBe(1);
    run.steps.slice(1).forEach((dense, i) => {
      const before = run.steps[i]!;
      expect(dense.t0).toBeCloseTo(before.t0 + before.h, 14);
    });
    expect([...atRest]).toEqual([0, 1]);
  });

  it("stops on an event to 1e-11 s: the first crossing after the start, which lies on the surface itself", () => {
    const run = integrate({ ...problem, events: [crossing(0)] }, 0, atRest, 10);
    expect(run.event).toBe("zero");
    expect(Math.abs(run.t - Math.PI)).toBeLessThan(1e-9); // the tolerance of the solution
    expect(Math.abs(run.y[0]!)).toBeLessThan(1e-14); // the location on the solution found
  });

  it("takes what is on a surface from the event's own scale", () => {
    // Seconds counted in millions: from 2e-7 before it, the surface is within rounding of a value that size.
    const passing = (scale: number): OdeEvent => ({
      name: "pass",
      direction: 0,
      value: (t) => t - 2e-7,
      scale,
    });
    const stopsAt = (scale: number) => integrate({ ...problem, events: [passing(scale)] }, 0, atRest, 1);
    expect(stopsAt(1).event).toBe("pass");
    expect(stopsAt(1e6)).toMatchObject({ event: null, t: 1 });
    expect(() => stopsAt(0)).toThrow('integrate: event "pass" has scale 0');
  });

  it("heeds the direction of an event", () => {
    expect(integrate({ ...problem, events: [crossing(1)] }, 0, atRest, 10).t).toBeCloseTo(2 * Math.PI, 8);
    expect(integrate({ ...problem, events: [crossing(-1)] }, 0, atRest, 10).t).toBeCloseTo(Math.PI, 8);
  });

  it("takes the earlier of two events in one step", () => {
    const half: OdeEvent = { name: "half", direction: -1, value: (_t, y) => y[0]! - 1e-4 };
    const run = integrate({ ...problem, events: [crossing(-1), half] }, 0, atRest, 10);
    expect(run.event).toBe("half");
    expect(run.t).toBeCloseTo(Math.PI - Math.asin(1e-4), 9);
  });

  it("goes on from an event without finding it again", () => {
    const first = integrate({ ...problem, events: [crossing(0)] }, 0, atRest, 20);
    const second = integrate({ ...problem, events: [crossing(0)] }, first.t, first.y, 20);
    expect(second.t).toBeCloseTo(2 * Math.PI, 8);
  });

  it("spends more steps for a tighter tolerance and errs less", () => {
    const error = (relTol: number) => {
      const run = integrate({ ...problem, relTol, absTol: [relTol, relTol] }, 0, atRest, 10);
      return { error: Math.abs(run.y[0]! - Math.sin(10)), steps: run.steps.length };
    };
    const [loose, tight] = [error(1e-5), error(1e-9)];
    expect(tight.steps).toBeGreaterThan(2 * loose.steps);
    expect(tight.error).toBeLessThan(loose.error / 100);
  });

  it("goes on implicitly when explicit steps are spent, and passes a system too stiff for them", () => {
    // y' = −λ(y − cos t) − sin t has the solution cos t whatever λ (Prothero & Robinson, 1974).
    const stiff: Rhs = (t, y, out) => {
      out[0] = -1e7 * (y[0]! - Math.cos(t)) - Math.sin(t);
    };
    const hard = { rhs: stiff, relTol: 1e-8, absTol: [1e-10] };
    const run = integrate(hard, 0, Float64Array.from([1]), 10);
    expect(Math.abs(run.y[0]! - Math.cos(10))).toBeLessThan(1e-7); // ten times the tolerance of one step
    expect(run.steps[0]!.implicit).toBe(false);
    expect(run.steps.at(-1)!.implicit).toBe(true);
    expect(run.steps.length).toBeLessThan(1000);
    const explicit = { ...hard, explicitSteps: Infinity };
    expect(() => integrate(explicit, 0, Float64Array.from([1]), 10)).toThrow(/too-many-steps/);
  });

  it("locates events on implicit steps too", () => {
    const run = integrate({ ...problem, explicitSteps: 0, events: [crossing(-1)] }, 0, atRest, 10);
    expect(run.event).toBe("zero");
    expect(run.t).toBeCloseTo(Math.PI, 8);
    expect(Math.abs(run.y[0]!)).toBeLessThan(1e-12);
  });

  it("throws IntegrationError when steps run out, saying where", () => {
    const run = () => integrate({ ...problem, maxSteps: 5 }, 0, atRest, 100);
    expect(run).toThrow(IntegrationError);
    expect(run).toThrow(/too-many-steps at t = /);
  });

  it("throws IntegrationError at a singularity it cannot pass: y' = y² from 1 ends at t = 1", () => {
    const blowUp: Rhs = (_t, y, out) => {
      out[0] = y[0]! ** 2;
    };
    expect(() =>
      integrate({ rhs: blowUp, relTol: 1e-8, absTol: [1e-8] }, 0, Float64Array.from([1]), 2),
    ).toThrow(/step-too-small at t = (1\.0000|0\.9999)/);
  });

  it("throws RangeError on an end before the start and on tolerances that are not positive", () => {
    expect(() => integrate(problem, 1, atRest, 0)).toThrow(RangeError);
    expect(() => integrate({ ...problem, absTol: [1e-9] }, 0, atRest, 1)).toThrow(/one for each of 2/);
    expect(() => integrate({ ...problem, relTol: 0 }, 0, atRest, 1)).toThrow(RangeError);
  });
});
