import { describe, expect, it } from "vitest";
import type { Heading } from "../../../../src/shared/quantity/notice.ts";
import { clipRefusal } from "../../../../src/shared/results/notices/clip-notices.ts";
import { SHOT_NOTICES, type ShotNoticeCode } from "../../../../src/shared/results/notices/shot-notices.ts";
import { SAID, SHOT_NOTICE_SAMPLES } from "../../../support/shot-notice-samples.ts";

/** Where a person looks for each notice: where what it speaks of is filled in or read. */
const HEADING: Readonly<Record<ShotNoticeCode, Heading>> = {
  "another-clip": "clip",
  "clip-unread": "clip",
  "camera-moves": "clip",
  "camera-unseen": "clip",
  "camera-steadied": "clip",
  "camera-not-followed": "clip",
  "camera-followed-otherwise": "clip",
  "no-clock": "clock",
  "no-timestamps": "clock",
  "beyond-clip": "motion", // of where it was typed
  "rate-u-assumed": "clock",
  "rates-disagree": "clock",
  "motion-shows-parts": "clip",
  "rates-stand": "clip",
  "flight-bends-more": "clock",
  "size-differs": "scale",
  "stamps-show-gaps": "clock",
  "motion-shows-gaps": "clock",
  blurred: "clock",
  "drop-too-few-marks": "clock",
  "drop-not-falling": "clock",
  "drop-rises-first": "clock",
  "drop-no-free-fall": "clock",
  "drop-marks-scatter": "clock",
  "drop-drag-left-out": "clock",
  "drop-over-border": "clock",
  "drop-leans": "clock",
  "lamp-too-few-events": "clock",
  "lamp-too-short": "clock",
  "lamp-miscounted": "clock",
  "lamp-over-border": "clock",
  "lamp-uneven": "clock",
  "no-scale": "scale",
  "scale-too-close": "scale",
  "launcher-guessed": "model",
  "rods-disagree": "scale",
  "rods-differ": "scale",
  "off-plane-assumed": "scale",
  "rod-u-assumed": "scale",
  "planes-too-far-apart": "scale",
  "too-near": "scale",
  "turned-too-far": "scale",
  "no-plumb": "scale",
  "plumb-too-close": "scale",
  "plumb-and-level-disagree": "scale",
  "lens-folds": "scale",
  "unseen-place": "scale",
  "pick-without-post": "scale",
  "plane-too-few-points": "scale",
  "plane-points-in-line": "scale",
  "plane-points-disagree": "scale",
  "plane-picture-bent": "scale",
  "plane-points-strained": "scale",
  "plane-horizon-between-points": "scale",
  "plane-poorly-placed-points": "scale",
  "plane-not-converged": "scale",
  "too-few-points": "marks",
  "no-centre-of-gravity": "marks",
  "marks-swapped": "marks",
  "marks-beyond-clip": "marks",
  "shake-no-posts": "marks",
  "shake-reference-without-post": "marks",
  "shake-not-converged": "marks",
  "shake-unsupported": "marks",
  "shake-disagrees": "marks",
  "no-axis": "motion",
  "too-few-frames": "motion",
  "no-motion": "motion",
  "no-push": "motion",
  "no-flight": "motion",
  "pushed-on": "motion",
  undetermined: "motion",
  "marks-set-aside": "motion",
  "marks-noisier": "motion",
  "marks-lasting": "motion",
  "marks-together": "motion",
  "marks-or-plane": "motion",
  "no-rest": "motion",
  "no-push-seen": "motion",
  "push-unmarked": "motion",
  "against-direction": "motion",
  "not-converged": "motion",
  "uncertainty-cut-short": "scale", // of the input
  "uncertainty-unknown-part": "scale", // of the input
  "draws-without-motion": "motion",
  "release-separation": "motion",
  "release-change-point": "motion",
  "release-travel": "motion",
  "not-measured": "motion",
  "took-too-long": "motion",
  "impossible-input": "clock", // of the input
  "odd-input": "clock", // of the input
  "no-launcher": "model",
  "no-airframe-mass": "model",
  "no-gauge-pressure": "model",
  "too-much-work": "model",
  "uncertainty-unknown": "model",
  "not-predicted": "model",
  "no-model": "model",
  "beyond-tested": "tuning",
  "tuning-unknown-input": "tuning",
  "tuning-broken": "tuning",
  "other-answers": "tuning",
  "no-pressure": "model",
  "never-moves": "model",
  stalls: "model",
  "too-stiff": "model",
  "elastic-gives-back-more": "model",
  "elastic-no-unloading": "model",
  "leaves-early": "model",
  "pump-cannot-reach": "model",
  "elastic-energy": "model",
  "elastic-longer-draw": "model",
  "rocket-thrust-curve-short": "model",
  "rocket-thrust-curve-long": "model",
  "rocket-thrust-curve-number": "model",
  "rocket-thrust-curve-time": "model",
  "rocket-thrust-curve-order": "model",
  "rocket-thrust-curve-negative": "model",
  "rocket-thrust-curve-none": "model",
  "rocket-thrust-curve-end": "model",
  "rocket-thrust": "model",
  "rocket-not-followed": "model",
  "rocket-no-motor-lit": "model",
  "rocket-never-lifts-off": "model",
  "rocket-never-leaves": "model",
  "rocket-separates-on-cradle": "model",
  "rocket-turns": "model",
  "rocket-turns-over": "model",
  "rocket-parts-burning": "model",
  "rocket-unlit": "model",
  "rocket-no-drag": "model",
  "ram-no-pitch": "model",
  "push-no-drag": "model",
  "elastic-coarse-table": "model",
  "rocket-no-inertia": "model",
  "load-limit": "verdict",
  "near-load-limit": "verdict",
  "below-stall": "verdict",
  "near-stall": "verdict",
  "after-below-stall": "verdict",
  "after-beyond-clear": "verdict",
  "flight-unstable": "verdict",
  "flight-low-margin": "verdict",
  "flight-margin-unknown": "verdict",
  "flight-not-told": "verdict",
  "flight-comes-down": "verdict",
  "flight-left-out": "verdict",
  "flight-near-people": "verdict",
  "flight-beyond-clear": "verdict",
  "flight-wind": "verdict",
  "flight-under-power": "verdict",
  "after-gust-stall": "verdict",
  "altimeter-not-vertical": "verdict",
  "altimeter-no-mass": "verdict",
  "altimeter-too-low": "verdict",
  "altimeter-too-high": "verdict",
  "altimeter-alone": "verdict",
  "altimeter-agrees": "verdict",
  "altimeter-differs": "verdict",
  "tank-rating-unknown": "model",
  "over-rating": "model",
  "near-rating": "model",
  "supply-over-rating": "model",
  "over-relief": "model",
  "near-relief": "model",
  "rating-first": "next-shot",
  "no-pressure-for-plastic": "next-shot",
  "plastic-pipe": "model",
  "tank-material-unknown": "model",
  "stored-pressure": "model",
  "end-stop-rating-unknown": "model",
  "end-stop-over": "model",
  "end-stop-near": "model",
  "base-push-over": "model",
  "base-push-near": "model",
  "base-pull-over": "model",
  "base-pull-near": "model",
  "line-stretch-over": "model",
  "line-stretch-near": "model",
  "line-length-unknown": "model",
  "anchor-over": "model",
  "anchor-near": "model",
  "carriage-stop-rating-unknown": "model",
  "carriage-stop-over": "model",
  "carriage-stop-near": "model",
  "end-stop": "verdict",
  "people-down-range": "verdict",
  propeller: "verdict",
  "elastic-whip": "model",
  "elastic-hold": "model",
  "elastic-carriage": "model",
  "rocket-class": "model",
  "rocket-over-limit": "model",
  "rocket-ignition": "model",
  "rocket-distance": "model",
  "rocket-tilt": "model",
  "rocket-wings": "model",
  "rocket-several-motors": "model",
};

/** A person does the same about these as about the one before them: they differ to a program alone. */
const SAME_TO_A_PERSON: readonly ShotNoticeCode[] = [
  "lamp-too-short",
  "lamp-miscounted",
  "turned-too-far",
  "plane-not-converged",
  "shake-reference-without-post",
  "shake-not-converged",
];

describe("the notices of a shot", () => {
  const codes = Object.keys(SHOT_NOTICES) as ShotNoticeCode[];

  it.each(codes)("%s stands under the heading where it can be put right", (code) => {
    expect(SHOT_NOTICE_SAMPLES[code]).toMatchObject({ code, about: HEADING[code] });
  });

  it("say each thing once", () => {
    // not in the words of a fault
    const own = codes.filter((code) => SHOT_NOTICE_SAMPLES[code].cause !== SAID.cause);
    const causes = own.map((code) => SHOT_NOTICE_SAMPLES[code].cause);
    const again = own.filter((_, i) => causes.indexOf(causes[i]!) !== i);
    expect(again).toEqual(SAME_TO_A_PERSON);
  });

  it("say what is wrong and what to do in whole sentences", () => {
    for (const code of codes) {
      const { cause, remedy } = SHOT_NOTICE_SAMPLES[code];
      expect(`${cause} ${remedy}`, code).not.toMatch(/undefined|NaN|\[object| {2}/);
      expect(cause, code).toMatch(/^[A-Z\d].*\.$/);
      expect(remedy, code).toMatch(/^[A-Z\d].*\.$/);
    }
  });

  it("name a place of their own only under the heading that has it", () => {
    const places = codes.flatMap((code) => {
      const { about, beside } = SHOT_NOTICE_SAMPLES[code];
      return beside === undefined || beside === "sentence" ? [] : [`${beside} under ${about}`];
    });
    expect([...new Set(places)].sort()).toEqual([
      "altimeter under verdict",
      "boost under model",
      "end-stop under model",
      "fill under model",
      "flight under verdict",
      "line-loads under model",
      "motors under model",
      "movement under clip",
      "parts under clip",
      "pressure under model",
      "pull under model",
      "swapped under marks",
      "tables under model",
    ]);
  });

  it("take heading and path from the input that they speak of", () => {
    const input = { cause: "C.", remedy: "R.", about: "scale", path: "shots[0].scale.rodM" } as const;
    expect(SHOT_NOTICES["odd-input"](input)).toEqual({ level: "warning", code: "odd-input", ...input });
    expect(SHOT_NOTICES["impossible-input"]({ ...input, about: "tuning" })).toMatchObject({
      level: "refusal",
      about: "tuning",
    });
    expect(SHOT_NOTICES["beyond-clip"]("A repeated frame", "140", 138, "clock").about).toBe("clock");
    expect(SHOT_NOTICES["too-much-work"]("setting", null).about).toBe("next-shot");
    expect(SHOT_NOTICES["too-much-work"]("tuning", null).about).toBe("tuning");
  });

  it("lend the code of the fault where a clip cannot be read", () => {
    const fault = { code: "no-such-clip", cause: "It is not there.", remedy: "Put it back." } as const;
    expect(clipRefusal(fault)).toEqual({ level: "refusal", ...fault, about: "clip" });
  });
});
