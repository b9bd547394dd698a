import { judgeBlur } from "../clock/blur.ts";
import type { UnitSet } from "../quantity/display.ts";
import { FaultError } from "../quantity/notice.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import { HEADLINES, type Headline } from "../results/shot-result.ts";
import { byHeadline } from "./by-headline.ts";
import type { CameraPlan, PlannedChange } from "./camera-plan.ts";
import { type ExpectedMotion, expectedMotion } from "./expected-motion.ts";
import { adviceOf } from "./plan-advice.ts";
import { type CameraPlanInput, planInputFaults } from "./plan-input.ts";
import {
  fieldNotices,
  impossiblePush,
  isMeasurable,
  type SeenOfShot,
  setUpNotices,
  setUpStanding,
} from "./plan-notices.ts";
import { type PlannedView, plannedView } from "./planned-view.ts";
import { type HeadlineUs, meanU, type SimulatedMeasurement, simulateMeasurement } from "./predicted-u.ts";
import { type SingleChange, singleChanges } from "./single-changes.ts";

export interface PlanProgress {
  readonly done: number;
  readonly total: number;
  readonly doing: string;
}

export interface PlanOptions {
  /** Leave the changes out: a quick look. */
  readonly withoutChanges?: boolean;
  /** What the words speak in; "SI" unless said. The numbers of the plan are SI either way. */
  readonly units?: UnitSet;
  readonly onProgress?: (progress: PlanProgress) => void;
  /** Asked before each simulated shot. */
  readonly stopped?: () => boolean;
}

// the stated u varies by a few per cent from shot to shot, that of the peak by a tenth
const BASE_SEEDS = [1, 2, 3];
const CHANGE_SEEDS = [1, 2]; // of the base, so that what is compared differs by the change alone
const HOW = "root mean square of what three simulated shots state, measured as real ones are";

/**
 * Predicts what a camera set-up will give: simulates the expected shot with seeded errors of the marks,
 * measures it by the very functions that measure a real one, and reads off the stated uncertainties; then
 * tries single changes. A second to twenty.
 * @returns the plan; a set-up that cannot be measured has no headlines and a refusal that names
 *   the number that would do
 * @throws RangeError when a number cannot be meant (planInputFaults names it): the caller's bug
 * @throws FaultError "cancelled" when stopped
 */
export function planCamera(input: CameraPlanInput, options: PlanOptions = {}): CameraPlan {
  const steps = planningSteps(input, options);
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
    options.onProgress?.(step.value);
    if (options.stopped?.() === true) {
      throw new FaultError("cancelled", "The plan was stopped.", "Start it again when you want it.");
    }
  }
}

/** `planCamera` one simulated shot at a time, for a host that has other things to do in between. */
export function* planningSteps(
  input: CameraPlanInput,
  { withoutChanges = false, units = "SI" }: Pick<PlanOptions, "withoutChanges" | "units"> = {},
): Generator<PlanProgress, CameraPlan> {
  const [fault] = planInputFaults(input);
  if (fault !== undefined) {
    throw new RangeError(`planCamera: ${fault.field} must be ${fault.needed}; got ${fault.value}`);
  }
  const nothing = { input, headlines: null, changes: [], best: null, advice: "" };
  const expected = expectedMotion(input.shot);
  if (!expected.ok) return { ...nothing, push: null, seen: null, notices: [impossiblePush(expected, units)] };
  const motion = expected.value;
  const view = plannedView(input, motion);
  const seen = seenOf(input, motion, view);
  const push = { pushS: motion.pushS, peakMPerS2: motion.peakMPerS2 };
  const standing = setUpStanding(input, seen);
  const notices = [...setUpNotices(input, seen, standing, units)];
  if (!isMeasurable(standing)) return { ...nothing, push, seen, notices };

  const changes = withoutChanges ? [] : singleChanges(input, view, units);
  const total = BASE_SEEDS.length + changes.reduce((sum, change) => sum + seedsOf(change).length, 0);
  let done = 0;
  const base: SimulatedMeasurement[] = [];
  for (const seed of BASE_SEEDS) {
    yield { done: done++, total, doing: "measuring a simulated shot" };
    base.push(simulateMeasurement(input, motion, view, seed, "marks"));
  }
  notices.push(...fieldNotices(base));
  const now = meanU(base);
  if (now === null) return { ...nothing, push, seen, notices };

  const tried: PlannedChange[] = [];
  for (const change of changes) {
    const measured: SimulatedMeasurement[] = [];
    for (const seed of seedsOf(change)) {
      yield { done: done++, total, doing: `trying to ${change.words}` };
      measured.push(measureChanged(change, motion, seed));
    }
    tried.push(compared(change, measured, base, now));
  }
  tried.sort(
    (a, b) => Number(a.headlines === null) - Number(b.headlines === null) || b.reduction - a.reduction,
  );
  return {
    input,
    push,
    seen,
    headlines: headlinesOf(input, motion, now),
    changes: tried,
    ...(withoutChanges ? { best: null, advice: "" } : adviceOf(now, tried, units)),
    notices,
  };
}

function seenOf(input: CameraPlanInput, motion: ExpectedMotion, view: PlannedView): SeenOfShot {
  const { captureRateHz, flightFrames, shot, exposureS } = input;
  const blur = judgeBlur(shot.speedMPerS, exposureS, view.scaleMPerPx);
  return {
    fieldM: view.fieldM,
    scaleMPerPx: view.scaleMPerPx,
    blurPx: blur.blurPx,
    blurLimitPx: blur.limitPx,
    exposureThatWouldDoS: blur.exposureThatWouldDoS,
    framesInPush: Math.floor(motion.pushS * captureRateHz.value),
    pushS: motion.pushS,
    pushFits: view.pushFits,
    flightFramesInView: view.flightFramesInView,
    flightFramesMarked: Math.min(flightFrames, view.flightFramesInView),
    flightFits: view.pushFits && flightFrames <= view.flightFramesInView,
    fieldThatWouldDoM: view.fieldThatWouldDoM,
  };
}

function headlinesOf(
  input: CameraPlanInput,
  motion: ExpectedMotion,
  now: HeadlineUs,
): CameraPlan["headlines"] {
  const { speedMPerS, angleRad, pitchRateRadPerS } = input.shot;
  const expected: Record<Headline, number> = {
    releaseSpeed: speedMPerS,
    peakAcceleration: motion.peakMPerS2,
    pitchRateAtRelease: pitchRateRadPerS,
    launchAngle: angleRad,
  };
  return byHeadline((name) => ({
    value: expected[name],
    ...now[name],
    unit: QUANTITIES[name].unit,
    how: HOW,
  }));
}

function seedsOf({ changed, ofMarks }: SingleChange): readonly number[] {
  if ("whyNot" in changed) return [];
  return ofMarks ? CHANGE_SEEDS : CHANGE_SEEDS.slice(0, 1);
}

function measureChanged(
  { changed }: SingleChange,
  motion: ExpectedMotion,
  seed: number,
): SimulatedMeasurement {
  if ("whyNot" in changed) return { results: null, notices: [] };
  return simulateMeasurement(changed, motion, plannedView(changed, motion), seed, "marks");
}

/** What a change brings, on the seeds both were measured with. */
function compared(
  { id, words, changed }: SingleChange,
  measured: readonly SimulatedMeasurement[],
  base: readonly SimulatedMeasurement[],
  now: HeadlineUs,
): PlannedChange {
  const none = { id, words, headlines: null, reduction: 0 };
  if ("whyNot" in changed) return { ...none, whyNot: changed.whyNot };
  const both = measured.flatMap((one, i) => {
    const before = base[i];
    return one.results === null || !before?.results ? [] : [{ before, after: one }];
  });
  const before = meanU(both.map((one) => one.before));
  const after = meanU(both.map((one) => one.after));
  if (before === null || after === null) return { ...none, whyNot: "the shot could not be measured so" };
  const ratios = HEADLINES.map((name) => after[name].u / before[name].u);
  const headlines = byHeadline((name, i) => {
    const ratio = ratios[i] as number;
    return { u: ratio * now[name].u, reduction: 1 - ratio };
  });
  return {
    id,
    words,
    whyNot: null,
    headlines,
    reduction: 1 - ratios.reduce((product, ratio) => product * ratio, 1) ** (1 / HEADLINES.length),
  };
}
