import { describe, expect, it } from "vitest";
import type { MotionFit } from "../../../src/shared/kinematics/fitted-motion.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import { refit } from "../../../src/shared/kinematics/refit.ts";
import { type InputState, marksAt, statedInputs } from "../../../src/shared/measure/input-state.ts";
import { type MeasuringSetUp, measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { systematicInputs } from "../../../src/shared/measure/systematic-inputs.ts";
import { thinnedFrames } from "../../../src/shared/measure/thinned-frames.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { fitShot } from "../../bench/fit-shot.ts";

const NAMES = ["speed", "direction", "pitchRate", "peakAcceleration", "stroke"] as const;

function shotOf(frames: number): { readonly setUp: MeasuringSetUp; readonly fit: MotionFit } {
  const session = fitShot(frames);
  const { setUp } = measuringSetUp(filmedShot(session, session.shots[0]!), null);
  const { marks, axis } = setUp!;
  return { setUp: setUp!, fit: unwrap(fitMotion({ marks, axis, release: { by: "change-point" } })) };
}

describe("thinnedFrames", () => {
  it("moves every result with every common input as all frames do, to 4 % of what all inputs together do", () => {
    const { setUp, fit } = shotOf(1500);
    const moves = (mostFrames: number) => {
      const thinned = thinnedFrames(fit, setUp, mostFrames);
      const numbersAt = (state: InputState) => {
        const { marks, axis } = marksAt(state, thinned.setUp)!;
        return refit(thinned.fit, thinned.weighed(marks), axis)!;
      };
      const stated = statedInputs(setUp.shot, setUp);
      return systematicInputs(setUp).map((input) => {
        const [above, below] = [numbersAt(input.move(stated, 1)), numbersAt(input.move(stated, -1))];
        return NAMES.map((name) => (above[name] - below[name]) / 2);
      });
    };
    const [all, fifth] = [moves(1500), moves(300)];
    expect(thinnedFrames(fit, setUp, 300).fit.frames).toHaveLength(300);
    NAMES.forEach((name, at) => {
      const together = Math.hypot(...all.map((moved) => moved[at]!));
      all.forEach((moved, i) => {
        expect(Math.abs(fifth[i]![at]! - moved[at]!), name).toBeLessThan(0.04 * together);
      });
    });
  });

  it("leaves a shot of 600 frames or fewer as it is", () => {
    const { setUp, fit } = shotOf(500);
    const thinned = thinnedFrames(fit, setUp);
    expect(thinned.fit).toBe(fit);
    expect(thinned.setUp).toBe(setUp);
    expect(thinned.weighed(setUp.marks)).toBe(setUp.marks);
  });
});
