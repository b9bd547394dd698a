import { describe, expect, it } from "vitest";
import { bodyShape, byFrame } from "../../../src/shared/kinematics/body-shape.ts";
import { initialMotion } from "../../../src/shared/kinematics/initial-motion.ts";
import { problemAt } from "../../../src/shared/kinematics/linearised-motion.ts";
import { MotionCandidates } from "../../../src/shared/kinematics/motion-candidates.ts";
import { likeliestInstant, scannedInstants } from "../../../src/shared/kinematics/release-scan.ts";
import { scanRelease } from "../../../src/shared/kinematics/release-search.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { AXIS, FILMED, simulatedMarks, TRUTH } from "./simulated-shot.ts";

const evenly = (count: number) => Array.from({ length: count }, (_, i) => i * 0.25);

describe("likeliestInstant", () => {
  const hilly = (timeS: number) => (timeS - 900.25) ** 2 / 500 + 40 * Math.cos(timeS / 60);

  it("finds the instant that trying them all finds, in a few hundred tries whatever their number", () => {
    for (const count of [401, 1000, 8000, 40_000]) {
      const instants = evenly(count);
      let tries = 0;
      const found = likeliestInstant(instants, (timeS) => {
        tries++;
        return { score: hilly(timeS), timeS };
      });
      const least = instants.reduce((best, timeS) => (hilly(timeS) < hilly(best) ? timeS : best));
      expect(found?.timeS).toBe(least);
      expect(tries).toBeLessThanOrEqual(400 + 10 * Math.log2(count / 200));
    }
  });

  it("tries every one of a few, and passes over those without a fit", () => {
    const tried: number[] = [];
    const found = likeliestInstant(evenly(400), (timeS) => {
      tried.push(timeS);
      return timeS < 7 ? null : { score: Math.abs(timeS - 3), timeS };
    });
    expect(tried).toEqual(evenly(400));
    expect(found?.timeS).toBe(7);
  });

  it("gives null when none gave a fit, and for no instants", () => {
    expect(likeliestInstant(evenly(500), () => null)).toBeNull();
    expect(likeliestInstant([], () => ({ score: 0 }))).toBeNull();
  });
});

describe("scannedInstants", () => {
  it("lie a third of a frame before each frame, those that carry no marks too", () => {
    const instants = scannedInstants([2, 3, 7, 8.02], 1);
    const expected = [2, 3, 4, 5, 6, 7, 8.02].map((timeS) => timeS - 1 / 3);
    expect(instants).toHaveLength(expected.length);
    instants.forEach((timeS, i) => {
      expect(timeS).toBeCloseTo(expected[i]!, 12);
    });
  });
});

describe("scanRelease", () => {
  it("makes no more fits for many frames than for some", () => {
    let fits = 0;
    class Counted extends MotionCandidates {
      override fit(...asked: Parameters<MotionCandidates["fit"]>) {
        fits++;
        return super.fit(...asked);
      }
    }
    const counts = [9600, 48_000].map((rateHz) => {
      const frames = byFrame(simulatedMarks({ ...FILMED, rateHz, flightFrames: rateHz / 20 }));
      const shape = bodyShape(frames, AXIS)!;
      const initial = unwrap(initialMotion(frames, shape));
      fits = 0;
      const scanned = unwrap(scanRelease(new Counted(problemAt(frames, shape, initial), initial)));
      expect(Math.abs(scanned.releaseS - TRUTH.releaseS)).toBeLessThan(2e-3);
      return fits;
    });
    for (const count of counts) expect(count).toBeLessThan(460);
  });
});
