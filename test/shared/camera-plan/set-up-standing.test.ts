import { describe, expect, it } from "vitest";
import type { CameraPlanInput } from "../../../src/shared/camera-plan/plan-input.ts";
import {
  fieldNotices,
  isMeasurable,
  type SeenOfShot,
  setUpNotices,
  setUpStanding,
} from "../../../src/shared/camera-plan/plan-notices.ts";
import type { SimulatedMeasurement } from "../../../src/shared/camera-plan/predicted-u.ts";

/** A set-up with all it needs, each number at the last value that is still quiet. */
const INPUT = {
  captureRateHz: { value: 240, u: 0 },
  rodM: { value: 2, u: 0.001 },
  flightFrames: 6,
  restFrames: 6,
  shot: { strokeM: 0.6 },
} as unknown as CameraPlanInput;
const SEEN: SeenOfShot = {
  fieldM: [2, 1.125],
  scaleMPerPx: 0.002,
  blurPx: 3,
  blurLimitPx: 3,
  exposureThatWouldDoS: 1 / 2000,
  pushS: 0.05,
  framesInPush: 12,
  pushFits: true,
  flightFramesInView: 20,
  flightFramesMarked: 20,
  flightFits: true,
  fieldThatWouldDoM: 3.1,
};
const standing = (seen: Partial<SeenOfShot> = {}, input: Partial<CameraPlanInput> = {}) =>
  setUpStanding({ ...INPUT, ...input }, { ...SEEN, ...seen });
const said = (seen: Partial<SeenOfShot> = {}, input: Partial<CameraPlanInput> = {}) => {
  const [of, all] = [
    { ...INPUT, ...input },
    { ...SEEN, ...seen },
  ];
  return setUpNotices(of, all, setUpStanding(of, all));
};
const codes = (...of: Parameters<typeof said>) => said(...of).map(({ code }) => code as string);

describe("how a set-up stands to what measuring needs", () => {
  it("is quiet at the last value of each that will do", () => {
    expect(codes()).toEqual([]);
    expect(isMeasurable(standing())).toBe(true);
  });

  it("needs 8 frames of the push, and half as many again to be sure of them", () => {
    const push = (framesInPush: number) => standing({ framesInPush }).push;
    expect([7, 8, 11, 12].map(push)).toEqual(["too-few-frames", "few-frames", "few-frames", "shown"]);
    expect([7, 8].map((framesInPush) => isMeasurable(standing({ framesInPush })))).toEqual([false, true]);
    // 8 frames in 50 ms are 160 a second, 12 are 240.
    const [refused] = said({ framesInPush: 7 });
    expect(refused!.cause).toBe(
      "At 240 frames/s the push of 50 ms shows in 7 frames only; release and speed need 8 or more.",
    );
    expect(refused!.remedy).toBe("Film at 160 frames/s or more, which gives 8.");
    expect(said({ framesInPush: 11 })[0]!.remedy).toBe("Film at 240 frames/s or more, which gives 12.");
  });

  it("needs 6 frames of flight, marked and in the picture", () => {
    const flight = (flightFrames: number, seen: Partial<SeenOfShot> = {}) =>
      standing(seen, { flightFrames }).flight;
    expect([5, 6].map((frames) => flight(frames))).toEqual(["too-few", "shown"]);
    const out = (flightFramesInView: number) => ({ flightFits: false, flightFramesInView });
    expect([5, 6].map((inView) => flight(20, out(inView)))).toEqual(["left-at-once", "leaves"]);
    expect(flight(5, out(5))).toBe("too-few");
    const measurable = [5, 6].map((inView) => isMeasurable(standing(out(inView), { flightFrames: 20 })));
    expect(measurable).toEqual([false, true]);
    expect(isMeasurable(standing({}, { flightFrames: 5 }))).toBe(false);
    expect(codes(out(5), { flightFrames: 20 })).toEqual(["too-little-flight-in-picture"]);
    expect(said(out(7), { flightFrames: 20 })[0]!.cause).toBe(
      "The airframe leaves the picture 7 frames after release; 20 were to be marked.",
    );
  });

  it("needs the push and the rod in the picture; a picture that loses the push says nothing of the flight", () => {
    expect(isMeasurable(standing({ pushFits: false }))).toBe(false);
    expect(codes({ pushFits: false, flightFits: false, flightFramesInView: 0 })).toEqual([
      "push-leaves-picture",
    ]);
    const rod = (value: number) => ({ rodM: { value, u: 0 } });
    expect([2, 2.001].map((value) => standing({}, rod(value)).rodInPicture)).toEqual([true, false]);
    expect(isMeasurable(standing({}, rod(2.001)))).toBe(false);
    // A rod may take 95 % of the width.
    expect(said({}, rod(2.1))[0]!.remedy).toMatch(/^Use a rod of 1\.9\d*0* ?m or less/);
  });

  it("warns of smear beyond the limit and of fewer than 6 frames at rest, and measures all the same", () => {
    expect(codes({ blurPx: 3.01 })).toEqual(["blurred"]);
    expect(codes({}, { restFrames: 5 })).toEqual(["little-rest"]);
    expect(isMeasurable(standing({ blurPx: 9 }, { restFrames: 0 }))).toBe(true);
  });
});

describe("simulated shots that could not be measured", () => {
  const good = { results: {}, notices: [] } as unknown as SimulatedMeasurement;
  const why = {
    level: "refusal",
    code: "no-scale",
    cause: "No scale.",
    remedy: "Pick a rod.",
    about: "scale",
  };
  const note = { ...why, level: "note", cause: "A note." };
  const bad = (...notices: object[]) => ({ results: null, notices }) as unknown as SimulatedMeasurement;

  it("are counted, with the refusal of the first", () => {
    expect(fieldNotices([good, good])).toEqual([]);
    expect(fieldNotices([good, bad(note, why), good])).toMatchObject([
      {
        level: "warning",
        cause: "1 of 3 simulated shots could not be measured. No scale.",
        remedy: "Pick a rod.",
      },
    ]);
    expect(fieldNotices([good, bad()])).toMatchObject([
      {
        cause: "1 of 2 simulated shots could not be measured.",
        remedy: "Film at a higher rate, or mark more frames.",
      },
    ]);
  });

  it("all refuse with the reason, or with that there is none", () => {
    expect(fieldNotices([bad(why), bad(why)])).toEqual([why]);
    expect(fieldNotices([bad(note)])).toMatchObject([{ level: "refusal", code: "not-measurable" }]);
  });
});
