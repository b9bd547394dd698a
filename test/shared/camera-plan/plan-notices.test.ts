import { expect, it } from "vitest";
import { CAMERA_PLAN_DEFAULTS, type CameraPlanInput } from "../../../src/shared/camera-plan/plan-input.ts";
import {
  isMeasurable,
  type SeenOfShot,
  setUpNotices,
  setUpStanding,
} from "../../../src/shared/camera-plan/plan-notices.ts";
import { ofPlan } from "../../support/notice-codes.ts";

const INPUT: CameraPlanInput = {
  ...CAMERA_PLAN_DEFAULTS,
  restFrames: 6,
  flightFrames: 20,
  rodM: { value: 1.5, u: 0.001 },
};
const SEEN: SeenOfShot = {
  fieldM: [2.5, 1.4],
  scaleMPerPx: 0.0013,
  blurPx: 2,
  blurLimitPx: 2,
  exposureThatWouldDoS: 1e-4,
  pushS: 0.1,
  framesInPush: 12,
  pushFits: true,
  flightFramesInView: 20,
  flightFramesMarked: 20,
  flightFits: true,
  fieldThatWouldDoM: 3,
};

// What is just enough, and one less of it.
it.each([
  ["all there is to see", {}, {}, true, []],
  ["twelve frames of push", {}, { framesInPush: 11 }, true, [ofPlan("warning few-push-frames")]],
  ["eight frames of push", {}, { framesInPush: 8 }, true, [ofPlan("warning few-push-frames")]],
  ["seven frames of push", {}, { framesInPush: 7 }, false, [ofPlan("refusal too-few-push-frames")]],
  [
    "a push that leaves",
    {},
    { pushFits: false, flightFits: false },
    false,
    [ofPlan("refusal push-leaves-picture")],
  ],
  ["six frames to mark", { flightFrames: 6 }, {}, true, []],
  ["five frames to mark", { flightFrames: 5 }, {}, false, [ofPlan("refusal too-few-flight-frames")]],
  [
    "six frames in view",
    {},
    { flightFramesInView: 6, flightFits: false },
    true,
    [ofPlan("warning flight-leaves-picture")],
  ],
  [
    "five frames in view",
    {},
    { flightFramesInView: 5, flightFits: false },
    false,
    [ofPlan("refusal too-little-flight-in-picture")],
  ],
  ["a rod as wide as the picture", { rodM: { value: 2.5, u: 0.001 } }, {}, true, []],
  ["a wider rod", { rodM: { value: 2.51, u: 0.001 } }, {}, false, [ofPlan("refusal rod-beyond-picture")]],
  ["more blur than marks bear", {}, { blurPx: 2.01 }, true, [ofPlan("warning blurred")]],
  ["five frames of rest", { restFrames: 5 }, {}, true, [ofPlan("warning little-rest")]],
] as const)(
  "with %s, whether it can be measured goes with what is said of it",
  (_, input, seen, measurable, said) => {
    const [plan, shown] = [
      { ...INPUT, ...input },
      { ...SEEN, ...seen },
    ];
    const standing = setUpStanding(plan, shown);
    expect(isMeasurable(standing)).toBe(measurable);
    const notices = setUpNotices(plan, shown, standing);
    expect(notices.map(({ level, code }) => `${level} ${code}`)).toEqual(said);
    expect(notices.every(({ level }) => level !== "refusal")).toBe(measurable);
  },
);
