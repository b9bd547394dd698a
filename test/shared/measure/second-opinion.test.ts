import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { interpolate } from "../../../src/shared/compare/interpolate.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { smoothingSpline } from "../../reference/smoothing-spline.ts";

/**
 * Speed by the fit in time, and by an estimator that shares nothing with it but the frames' own positions: a
 * cubic smoothing spline through those of the push, its smoothness by generalised cross-validation.
 */
function speeds(seed: number, part: number): { readonly fit: number; readonly spline: number } {
  const session = exampleSession(seed);
  const { curves, poses, startClipS, releaseClipS } = measureShot(session, session.shots[0]!.id, null)
    .measurement!;
  const startS = startClipS - releaseClipS;
  // with a little of the rest before the speed that counts as first motion, for the spline's own end
  const pushed = poses.filter(({ timeS }) => timeS > 1.1 * startS && timeS <= 0);
  const spline = smoothingSpline(
    pushed.map(({ timeS }) => timeS),
    pushed.map(({ positionM }) => positionM),
    { u: pushed.map(({ positionU }) => positionU!) },
  );
  const at = startS * (1 - part);
  return { fit: interpolate(curves.timeS, curves.speed.value, at), spline: spline.at(at, 1) };
}

describe("measureShot beside a smoothing spline of the same frames", () => {
  it.each([1, 2, 3, 4])(
    "agrees with its speed within a hundredth in the middle of the push, seed %i",
    (seed) => {
      for (const part of [0.5, 0.65, 0.8]) {
        const { fit, spline } = speeds(seed, part);
        expect(Math.abs(spline / fit - 1), `${part} of the push`).toBeLessThan(0.01);
      }
    },
  );

  it("is nearer the true speed at release than the spline, which smooths towards its own end and reads slow", () => {
    const truth = exampleTruth().shots[0]!.quantities.releaseSpeed!.value;
    const misses = [1, 2, 3, 4].map((seed) => {
      const { fit, spline } = speeds(seed, 1);
      return { fit: fit - truth, spline: spline - truth };
    });
    const rms = (of: "fit" | "spline") => Math.hypot(...misses.map((miss) => miss[of])) / 2;
    expect(misses.every(({ spline }) => spline < 0)).toBe(true);
    expect(rms("fit")).toBeLessThan(0.5 * rms("spline"));
  });
});
