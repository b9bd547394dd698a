import { type ClockPart, partAt, ratesOfParts } from "../clock/clock-parts.ts";
import { type RateStep, rateSteps } from "../clock/rate-steps.ts";
import type { PlaneMark } from "../kinematics/body-shape.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { Clock } from "../session/schema.ts";

/** A change of the capture rate that the clock does not allow for, as the airframe's motion shows it. */
export interface FoundBorder {
  /** Frames. */
  readonly from: Measured;
  /** Apparent speed after it over that before it. */
  readonly ratio: Measured;
}

/**
 * Where the motion of the airframe contradicts the rates its clock states: seen by every point that is marked
 * often enough about there to tell.
 * @param marks on the flight plane, on the stated clock
 */
export function foundBorders(marks: readonly PlaneMark[]): readonly FoundBorder[] {
  const paths = [...new Set(marks.map(({ point }) => point))].map((point) =>
    inNewPictures(marks.filter((mark) => mark.point === point)),
  );
  const seen = paths.flatMap((path) =>
    rateSteps(path.map(({ timeS, x, y, u }) => ({ time: timeS, x, y, u }))).map((step) => ({
      ...inFrames(path, step),
      path,
    })),
  );
  const borders: FoundBorder[] = [];
  for (const first of seen) {
    if (borders.some(({ from }) => Math.abs(from.value - first.from.value) < NEAR_FRAMES)) continue;
    const same = seen.filter((one) => isOne(one, first));
    const silent = paths.filter(
      (path) => tells(path, first.from.value) && !same.some((one) => one.path === path),
    );
    if (silent.length === 0)
      borders.push({
        from: meanOf(same.map((one) => one.from)),
        ratio: meanOf(same.map((one) => one.ratio)),
      });
  }
  return borders.sort((a, b) => a.from.value - b.from.value);
}

/**
 * Says that the motion contradicts one rate; only as a note where the person said that the rates are as
 * stated.
 */
export function borderNotices(borders: readonly FoundBorder[], clock: Clock | null): readonly ShotNotice[] {
  const [first] = borders;
  if (first === undefined) return [];
  const frame = showMeasured(first.from, "1").text.trim();
  const howFar = howFarText(first.ratio);
  return clock?.ratesStand === true
    ? [CLOCK_NOTICES["rates-stand"](frame, howFar)]
    : [CLOCK_NOTICES["motion-shows-parts"](frame, howFar, borders.length - 1)];
}

/** "8.20 ± 0.18 times as far", or "… times less far" */
function howFarText({ value, u }: Measured): string {
  const of = value >= 1 ? { value, u } : { value: 1 / value, u: u / value ** 2 };
  return `${showMeasured(of, "1").text.trim()} times ${value >= 1 ? "as" : "less"} far`;
}

/** Whether two points see one border: at one place, and the rate change the same way. */
function isOne(a: FoundBorder, b: FoundBorder): boolean {
  return Math.abs(a.from.value - b.from.value) < NEAR_FRAMES && a.ratio.value > 1 === b.ratio.value > 1;
}

const NEAR_FRAMES = 2; // points of one body see one border
const MARKS_TO_TELL = 4; // on either side: with fewer, a point may be silent for want of them

function tells(path: readonly PlaneMark[], border: number): boolean {
  const before = path.filter(({ frame }) => frame < border).length;
  return before >= MARKS_TO_TELL && path.length - before >= MARKS_TO_TELL;
}

/** By frame, without frames that show again what the frame before shows. */
function inNewPictures(marks: readonly PlaneMark[]): readonly PlaneMark[] {
  const byFrame = marks.toSorted((a, b) => a.frame - b.frame);
  return byFrame.filter(({ timeS }, i) => i === 0 || timeS > (byFrame[i - 1] as PlaneMark).timeS);
}

function inFrames(path: readonly PlaneMark[], { lastBefore, border, ratio }: RateStep): FoundBorder {
  const [before, after] = [path[lastBefore] as PlaneMark, path[lastBefore + 1] as PlaneMark];
  const perS = (after.frame - before.frame) / (after.timeS - before.timeS);
  const value = before.frame + (border.value - before.timeS) * perS;
  return { from: { value, u: border.u * perS }, ratio };
}

/** Weighted mean of what points saw of one thing. */
function meanOf(each: readonly Measured[]): Measured {
  const weight = each.reduce((sum, { u }) => sum + 1 / u ** 2, 0);
  const value = each.reduce((sum, one) => sum + one.value / one.u ** 2, 0) / weight;
  const spread = Math.sqrt(
    each.reduce((sum, one) => sum + ((one.value - value) / one.u) ** 2, 0) / Math.max(1, each.length - 1),
  );
  return { value, u: Math.max(1, spread) / Math.sqrt(weight) };
}

type ByRate = Extract<Clock, { kind: "capture-rate" }>;

/**
 * The clock with parts as found borders imply them. Borders tell how rates compare, not what they are: a rate
 * stated for the whole clip is taken to be that of the fastest part, which is what a camera set to slow
 * motion was set to; where the file plays in real time, the slowest part is what does. Beside stated parts,
 * the first keeps its rate. u of a rate: of the one it hangs on and of the ratios between.
 * @param facts of the clip; null leaves a clock by timestamps without an answer
 */
export function withFoundParts(
  clock: Clock,
  borders: readonly FoundBorder[],
  facts: ClipFacts | null,
): ByRate | null {
  const stated = statedRate(clock, facts);
  if (stated === null || borders.length === 0) return null;
  const parts = clock.kind === "capture-rate" ? (clock.parts ?? []) : [];
  const rates = ratesOfParts(stated, parts);
  const all = [...parts.map(({ from }) => ({ from, ratio: null })), ...borders].sort(
    (a, b) => a.from.value - b.from.value,
  );
  let factor: Measured = { value: 1, u: 0 };
  const found = [{ from: null as Measured | null, factor }];
  for (const { from, ratio } of all) {
    if (ratio !== null) {
      const value = factor.value / ratio.value;
      factor = { value, u: value * Math.hypot(factor.u / factor.value, ratio.u / ratio.value) };
    }
    found.push({ from, factor });
  }
  const hangsOn =
    parts.length > 0
      ? 0
      : extremeOf(
          found.map((one) => one.factor.value),
          clock.kind,
        );
  const anchor = (found[hangsOn] as (typeof found)[number]).factor;
  const rateOf = ({ from, factor: own }: (typeof found)[number], at: number): Measured => {
    const base = rates[from === null ? 0 : partAt(from.value, parts)] as Measured;
    if (at === hangsOn) return { value: base.value, u: base.u };
    // Ratios between the two alone count: those before both move both.
    const between = Math.sqrt(Math.abs((own.u / own.value) ** 2 - (anchor.u / anchor.value) ** 2));
    const value = (base.value * own.value) / anchor.value;
    return rounded({ value, u: value * Math.hypot(base.u / base.value, between) });
  };
  const [first, ...later] = found.map((one, at) => ({ from: one.from, captureRateHz: rateOf(one, at) }));
  return {
    ...(clock.kind === "capture-rate" ? clock : { kind: "capture-rate", repeats: clock.repeats }),
    captureRateHz: (first as { captureRateHz: Measured }).captureRateHz,
    parts: later.map(
      ({ from, captureRateHz }): ClockPart => ({ from: rounded(from as Measured), captureRateHz }),
    ),
    ratesStand: undefined,
  } as ByRate;
}

function statedRate(clock: Clock, facts: ClipFacts | null): Measured | null {
  if (clock.kind === "capture-rate") return clock.captureRateHz;
  const stamps = facts === null ? [] : timestampsS(facts);
  const [first, last] = [stamps[0], stamps.at(-1)];
  if (first === undefined || last === undefined || !(last > first)) return null;
  const value = (stamps.length - 1) / (last - first);
  return { value, u: value * Math.max(clock.rateError.u, 1e-4) };
}

function extremeOf(factors: readonly number[], kind: Clock["kind"]): number {
  const best = kind === "capture-rate" ? Math.max(...factors) : Math.min(...factors);
  return factors.indexOf(best);
}

/** To a tenth of its u or finer: what a person would read of it. */
function rounded({ value, u }: Measured): Measured {
  const step = 10 ** (Math.floor(Math.log10(u)) - 1);
  const at = (x: number) => Number((Math.round(x / step) * step).toPrecision(12));
  return { value: at(value), u: Math.max(at(u), step) };
}
