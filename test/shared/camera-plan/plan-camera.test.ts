import { describe, expect, it } from "vitest";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { type PlanProgress, planCamera } from "../../../src/shared/camera-plan/plan-camera.ts";
import {
  CAMERA_PLAN_DEFAULTS,
  type CameraPlanInput,
  planInputFaults,
} from "../../../src/shared/camera-plan/plan-input.ts";
import { plannedSession } from "../../../src/shared/camera-plan/planned-shot.ts";
import { plannedView } from "../../../src/shared/camera-plan/planned-view.ts";
import { type HeadlineUs, meanU, simulateMeasurement } from "../../../src/shared/camera-plan/predicted-u.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { HEADLINES, type Headline } from "../../../src/shared/results/shot-result.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import { ofPlan } from "../../support/notice-codes.ts";

const D = CAMERA_PLAN_DEFAULTS;
const withPatch = (patch: Partial<CameraPlanInput>): CameraPlanInput => ({ ...D, ...patch });
const field = (fieldM: number) => ({ by: "field", fieldM }) as const;

function simulated(input: CameraPlanInput, seeds: readonly number[], errors: "marks" | "all" = "marks") {
  const motion = unwrap(expectedMotion(input.shot));
  const view = plannedView(input, motion);
  return seeds.map((seed) => simulateMeasurement(input, motion, view, seed, errors));
}

function stated(input: CameraPlanInput, seeds: readonly number[]): HeadlineUs {
  const us = meanU(simulated(input, seeds));
  if (us === null) throw new Error("not measured");
  return us;
}

const line = (us: HeadlineUs, name: Headline, source: string) =>
  us[name].budget.find((one) => one.source === source)?.u ?? 0;
const codes = (input: CameraPlanInput) =>
  planCamera(input, { withoutChanges: true }).notices.map(({ level, code }) => `${level} ${code}`);

describe("the predicted u", () => {
  it("agrees with the errors of 12 shots with every input off: their squares in u are within the 99.9 % limits", () => {
    const us = stated(D, [1, 2, 3]);
    const truth: Record<Headline, number> = {
      releaseSpeed: D.shot.speedMPerS,
      peakAcceleration: 200,
      pitchRateAtRelease: D.shot.pitchRateRadPerS,
      launchAngle: D.shot.angleRad,
    };
    const seeds = Array.from({ length: 12 }, (_, i) => 101 + i);
    const shots = simulated(D, seeds, "all");
    for (const name of HEADLINES) {
      const squares = shots.map(({ results }) => ((results![name].value - truth[name]) / us[name].u) ** 2);
      const sum = squares.reduce((total, square) => total + square, 0);
      // chi-square of 12: 0.05 % lies below 1.93 and 0.05 % above 34.8
      expect(sum, name).toBeGreaterThan(1.93);
      expect(sum, name).toBeLessThan(34.8);
    }
  });

  it("has the scale line of a better rod, with the marks as they were", () => {
    const [coarse, fine] = [0.008, 0.001].map((u) => stated(withPatch({ rodM: { value: 1, u } }), [1])) as [
      HeadlineUs,
      HeadlineUs,
    ];
    // (u(s)/s)² = (u(L)/L)² + 2 (u_px/d)², d = 768 px of 1 m in a picture of 2.5 m by 1920 px
    const scaleLine = (rodU: number) => 13 * Math.hypot(rodU, (Math.SQRT2 * 0.5) / 768);
    expect(line(coarse, "releaseSpeed", "scale") / scaleLine(0.008)).toBeCloseTo(1, 2);
    expect(line(fine, "releaseSpeed", "scale") / scaleLine(0.001)).toBeCloseTo(1, 2);
    const difference = coarse.releaseSpeed.u ** 2 - fine.releaseSpeed.u ** 2;
    expect(difference / (scaleLine(0.008) ** 2 - scaleLine(0.001) ** 2)).toBeCloseTo(1, 2);
    for (const name of HEADLINES) expect(line(fine, name, "marks")).toBe(line(coarse, name, "marks"));
  });

  it("has marks lines twice as large in a picture twice as wide, for speed, pitch rate and launch angle", () => {
    const sharp = { smearShare: 0 };
    const [near, far] = [2.5, 5].map((fieldM) =>
      stated(withPatch({ ...sharp, lens: field(fieldM) }), [1, 2]),
    ) as [HeadlineUs, HeadlineUs];
    for (const name of ["releaseSpeed", "pitchRateAtRelease", "launchAngle"] as const) {
      const ratio = line(far, name, "marks") / line(near, name, "marks");
      // Not exactly two: noisier marks are smoothed more.
      expect(ratio, name).toBeGreaterThan(1.5);
      expect(ratio, name).toBeLessThan(2.2);
    }
    expect(line(far, "peakAcceleration", "marks")).toBeGreaterThan(line(near, "peakAcceleration", "marks"));
  });

  it("is not larger with more frames of the same time", () => {
    const us = [240, 480, 960].map((rateHz) => {
      const times = rateHz / 240;
      return stated(
        withPatch({
          captureRateHz: { value: rateHz, u: 0.5 * times },
          restFrames: 10 * times,
          flightFrames: 20 * times,
        }),
        [1, 2],
      );
    });
    for (const name of HEADLINES) {
      const [slow, faster, fastest] = us.map((one) => one[name].u) as [number, number, number];
      expect(faster, name).toBeLessThan(1.05 * slow);
      expect(fastest, name).toBeLessThan(1.05 * faster);
    }
  });
});

describe("planCamera", () => {
  it("says what the camera sees, the four results whose budgets add up, and the smear", () => {
    const plan = planCamera(D, { withoutChanges: true });
    expect(plan.seen).toMatchObject({
      framesInPush: 25,
      pushFits: true,
      flightFits: true,
      flightFramesMarked: 20,
    });
    expect(plan.seen!.blurPx).toBeCloseTo(13 / 2000 / (2.5 / 1920), 9);
    for (const name of HEADLINES) {
      const { u, budget } = plan.headlines![name];
      expect(u).toBeGreaterThan(0);
      expect(Math.hypot(...budget.map((one) => one.u))).toBeCloseTo(u, 12);
    }
    expect(plan.headlines!.releaseSpeed).toMatchObject({ value: 13, unit: "m/s" });
    expect(plan.notices.map(({ code }) => code)).toEqual([ofPlan("blurred")]);
    expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
  });

  it("reports progress before each simulated shot, and stops with a fault when asked to", () => {
    const seen: PlanProgress[] = [];
    const stop = () =>
      planCamera(D, { onProgress: (progress) => seen.push(progress), stopped: () => seen.length === 2 });
    expect(stop).toThrow(FaultError);
    expect(seen.map(({ done }) => done)).toEqual([0, 1]);
    expect(seen[0]!.total).toBeGreaterThan(15);
  });

  it("refuses too few frames in the push with the rate that would do, and that rate does", () => {
    const slow = withPatch({ captureRateHz: { value: 60, u: 0.1 }, lens: field(4), flightFrames: 6 });
    const plan = planCamera(slow);
    expect([plan.headlines, plan.changes, plan.advice]).toEqual([null, [], ""]);
    const [refusal] = plan.notices;
    expect(refusal).toMatchObject({ level: "refusal", code: ofPlan("too-few-push-frames") });
    expect(refusal!.remedy).toBe("Film at 76 frames/s or more, which gives 8.");
    const better = planCamera({ ...slow, captureRateHz: { value: 76, u: 0.1 } }, { withoutChanges: true });
    expect(better.headlines).not.toBeNull();
    expect(better.seen!.framesInPush).toBe(8);
    expect(better.notices.map(({ code }) => code)).toContain(ofPlan("few-push-frames"));
  });

  it.each([
    [
      "a push that leaves the picture",
      { lens: field(0.9), rodM: { value: 0.5, u: 0.001 } },
      ofPlan("push-leaves-picture"),
    ],
    ["a flight that leaves it at once", { lens: field(1.35) }, ofPlan("too-little-flight-in-picture")],
    ["too few frames of flight to be marked", { flightFrames: 5 }, ofPlan("too-few-flight-frames")],
    ["a rod longer than the picture", { rodM: { value: 2.6, u: 0.001 } }, ofPlan("rod-beyond-picture")],
    [
      "a peak that no push has",
      { shot: { ...D.shot, push: { by: "peak", peakMPerS2: 90 } as const } },
      ofPlan("peak-impossible"),
    ],
    [
      "a time that no push has",
      { shot: { ...D.shot, push: { by: "time", pushS: 0.3 } as const } },
      ofPlan("time-impossible"),
    ],
  ])("refuses %s, and says what would do", (_, patch, code) => {
    const plan = planCamera(withPatch(patch));
    expect(plan.headlines).toBeNull();
    const refusal = plan.notices.find(({ level }) => level === "refusal");
    expect(refusal?.code).toBe(code);
    expect(refusal?.remedy).toMatch(/\d/);
  });

  it("refuses in the person's units, rounded so that the number shown still does", () => {
    const remedyIn = (units: "SI" | "field", patch: Partial<CameraPlanInput>) =>
      planCamera(withPatch(patch), { units }).notices.find(({ level }) => level === "refusal")!.remedy;
    const long = { rodM: { value: 2.6, u: 0.001 } };
    // 0.95 · 2.5 m = 2.375 m
    expect(remedyIn("SI", long)).toBe("Use a rod of 2.37 m or less, or show a wider field.");
    expect(remedyIn("field", long)).toBe("Use a rod of 7.79 ft or less, or show a wider field."); // 7.792 ft
    const weak = { shot: { ...D.shot, push: { by: "peak", peakMPerS2: 90 } as const } };
    const least = Number(/from ([\d.]+) g to/.exec(remedyIn("field", weak))![1]);
    const leastSi = Number(/from ([\d.]+) m/.exec(remedyIn("SI", weak))![1]);
    expect(least * 9.80665).toBeCloseTo(leastSi, -0.5);
  });

  it("warns of a flight that leaves the picture early and of little rest, and measures all the same", () => {
    expect(codes(withPatch({ lens: field(2), exposureS: 1 / 5000, restFrames: 4 }))).toEqual([
      ofPlan("warning flight-leaves-picture"),
      ofPlan("warning little-rest"),
    ]);
  });

  it("throws RangeError naming the number that cannot be meant", () => {
    expect(() => planCamera(withPatch({ markPx: 0 }))).toThrow(
      new RangeError("planCamera: markPx must be greater than 0; got 0"),
    );
    const faults = planInputFaults(
      withPatch({
        captureRateHz: { value: 3000, u: -1 },
        points: 1,
        spacingM: Number.NaN,
        shot: { ...D.shot, angleRad: 2 },
      }),
    );
    expect(faults.map(({ field }) => field)).toEqual([
      "captureRateHz.u",
      "exposureS",
      "points",
      "spacingM",
      "angleRad",
    ]);
  });
});

describe("plannedSession", () => {
  it("is a valid session, the same for the same seed, with all of the picture's frames marked", () => {
    const motion = unwrap(expectedMotion(D.shot));
    const view = plannedView(D, motion);
    const session = plannedSession(D, motion, view, 5, "all");
    expect(SessionSchema.parse(session)).toEqual(session);
    expect(plannedSession(D, motion, view, 5, "all")).toEqual(session);
    const { marks } = session.shots[0]!;
    expect(marks.every(({ x, y }) => x > 0 && x < 1920 && y > 0 && y < 1080)).toBe(true);
    // 10 at rest, 25 of the push, 20 of flight, and the one under way, by two points
    expect(marks.length / 2).toBeGreaterThanOrEqual(55);
    expect(marks.length / 2).toBeLessThanOrEqual(57);
    // Marks on a moving airframe are less sure by a tenth of its smear: 5.0 px at release
    expect(marks[0]!.u).toBe(0.5);
    expect(marks.at(-1)!.u).toBeCloseTo(Math.hypot(0.5, 0.5), 1);
  });
});
