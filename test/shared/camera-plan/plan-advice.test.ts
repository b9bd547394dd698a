import { describe, expect, it } from "vitest";
import { byHeadline } from "../../../src/shared/camera-plan/by-headline.ts";
import type { PlannedChange } from "../../../src/shared/camera-plan/camera-plan.ts";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { adviceOf } from "../../../src/shared/camera-plan/plan-advice.ts";
import { CAMERA_PLAN_DEFAULTS, type CameraPlanInput } from "../../../src/shared/camera-plan/plan-input.ts";
import { plannedView } from "../../../src/shared/camera-plan/planned-view.ts";
import type { HeadlineUs } from "../../../src/shared/camera-plan/predicted-u.ts";
import { type ChangeId, singleChanges } from "../../../src/shared/camera-plan/single-changes.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Headline } from "../../../src/shared/results/shot-result.ts";

const U: Record<Headline, number> = {
  releaseSpeed: 0.04,
  peakAcceleration: 4,
  pitchRateAtRelease: 0.05,
  launchAngle: 0.002,
};
const NOW: HeadlineUs = byHeadline((name) => ({ u: U[name], budget: [] }));

function change(id: ChangeId, words: string, reductions: Partial<Record<Headline, number>>): PlannedChange {
  const of = (name: Headline) => reductions[name] ?? 0;
  return {
    id,
    words,
    whyNot: null,
    headlines: byHeadline((name) => ({ u: U[name] * (1 - of(name)), reduction: of(name) })),
    reduction: Object.values(reductions).reduce((sum, one) => sum + one, 0) / 4,
  };
}

describe("adviceOf", () => {
  it("names the change that helps most, with from and to, and what is better for single results", () => {
    const rate = change("double-rate", "film twice as fast", { releaseSpeed: 0.25, peakAcceleration: 0.5 });
    const picks = change("better-picks", "pick closer", { launchAngle: 0.4 });
    const { best, advice } = adviceOf(NOW, [rate, picks]);
    expect(best).toEqual({
      releaseSpeed: "double-rate",
      peakAcceleration: "double-rate",
      pitchRateAtRelease: null,
      launchAngle: "better-picks",
    });
    expect(advice).toBe(
      "Of single changes it helps most to film twice as fast: release speed ± 0.040 to ± 0.030 m/s and peak acceleration ± 4.0 to ± 2.0 m/s². For launch angle it is better to pick closer: ± 0.11 to ± 0.069°.",
    );
  });

  it("speaks in the field set when asked to, of the same u", () => {
    const rate = change("double-rate", "film twice as fast", { releaseSpeed: 0.25, peakAcceleration: 0.5 });
    // 0.04 m/s / 0.3048 m/ft = 0.131 ft/s; 4 m/s² / 9.80665 m/s² = 0.408 g
    expect(adviceOf(NOW, [rate], "field").advice).toBe(
      "Of single changes it helps most to film twice as fast: release speed ± 0.13 to ± 0.098 ft/s and peak acceleration ± 0.41 to ± 0.20 g.",
    );
  });

  it("says so when no change helps by a twentieth, and does not count one that cannot be done", () => {
    const little = change("better-rod", "measure the rod", { releaseSpeed: 0.04 });
    const not: PlannedChange = {
      ...little,
      id: "half-field",
      headlines: null,
      whyNot: "it is full",
      reduction: 0,
    };
    const { best, advice } = adviceOf(NOW, [little, not]);
    expect(Object.values(best!)).toEqual([null, null, null, null]);
    expect(advice).toMatch(/^No single change/);
  });
});

describe("singleChanges", () => {
  const changesOf = (input: CameraPlanInput) =>
    singleChanges(input, plannedView(input, unwrap(expectedMotion(input.shot))));
  const of = (input: CameraPlanInput, id: ChangeId) => changesOf(input).find((one) => one.id === id)!;
  const wide: CameraPlanInput = { ...CAMERA_PLAN_DEFAULTS, lens: { by: "field", fieldM: 6 } };

  it("changes one thing each, and says in words what", () => {
    const changes = changesOf(wide);
    expect(new Set(changes.map(({ id }) => id)).size).toBe(changes.length);
    expect(of(wide, "double-rate")).toMatchObject({
      words: "film at 480 frames/s with the same picture, and mark the same time",
      changed: { captureRateHz: { value: 480, u: 1 }, restFrames: 20, flightFrames: 40, markPx: 0.5 },
    });
    expect(of(wide, "longer-rod")).toMatchObject({
      words: "use a scale rod of 2 m",
      changed: { ...wide, rodM: { value: 2, u: 0.001 } },
    });
    expect(of(wide, "double-flight").changed).toEqual({ ...wide, flightFrames: 40 });
    expect(of(wide, "half-field").changed).toEqual({ ...wide, lens: { by: "field", fieldM: 3 } });
  });

  it("words lengths in the person's units, and changes the same", () => {
    const view = plannedView(wide, unwrap(expectedMotion(wide.shot)));
    const field = singleChanges(wide, view, "field");
    expect(field.map(({ changed }) => changed)).toEqual(changesOf(wide).map(({ changed }) => changed));
    const words = (id: ChangeId) => field.find((one) => one.id === id)!.words;
    expect(words("longer-rod")).toBe("use a scale rod of 6.56 ft");
    expect(words("half-field")).toBe("zoom in to a picture 9.84 ft wide");
    expect(words("better-rod")).toBe("measure the scale rod to 0.5 mm");
  });

  it("goes only as far as the picture allows, and says so", () => {
    const middling: CameraPlanInput = { ...wide, lens: { by: "field", fieldM: 3 } };
    const zoomed = of(middling, "half-field");
    expect(zoomed.words).toMatch(
      /^zoom in to a picture 2\.33 m wide, as close as push, flight and rod allow$/,
    );
    const view = plannedView(zoomed.changed as CameraPlanInput, unwrap(expectedMotion(middling.shot)));
    expect(view.flightFramesInView).toBeGreaterThanOrEqual(middling.flightFrames - 1);
    const rod = of({ ...middling, rodM: { value: 2, u: 0.001 } }, "longer-rod");
    expect(rod.words).toBe("use a scale rod of 2.85 m, as long as the picture allows");
  });

  it("gives the reason where a change cannot be made", () => {
    const tight = CAMERA_PLAN_DEFAULTS;
    expect(of(tight, "half-field").changed).toEqual({ whyNot: "push, flight and rod fill the picture" });
    expect(of({ ...tight, flightFrames: 25 }, "double-flight").changed).toEqual({
      whyNot: "the airframe leaves the picture after 25 frames",
    });
    expect(of({ ...tight, planeU: 0 }, "better-plane").changed).toEqual({ whyNot: "it is taken as exact" });
    expect(of({ ...tight, smearShare: 0 }, "half-exposure").changed).toHaveProperty("whyNot");
  });
});
