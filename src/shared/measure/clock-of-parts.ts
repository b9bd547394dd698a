import { type ClockPart, isSameRate, type PartMove } from "../clock/clock-parts.ts";
import { type FrameClock, frameClock, type Readout } from "../clock/frame-clock.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Clock } from "../session/schema.ts";
import { captureRate, clockParts } from "./assumed.ts";
import type { ClockCheck } from "./clock-check.ts";
import { checksOfRate, rateInUse } from "./rate-in-use.ts";

/** A stretch of a clip with the capture rate in use there. */
export interface PartInUse extends ClockPart {
  /** As the document states it; parts that state the same share its error. */
  readonly stated: Measured;
  /** What one standard uncertainty of each named error of the checks does to the rate, over the rate. */
  readonly errors: ReadonlyMap<string, number>;
}

/** The clock of a clip with parts; the same with its rates and borders moved. */
export interface ClockOfParts {
  readonly clock: FrameClock;
  movedBy(moves: readonly PartMove[]): FrameClock;
  /** The first from frame 0. */
  readonly parts: readonly PartInUse[];
  readonly notices: readonly ShotNotice[];
}

type ByRate = Extract<Clock, { kind: "capture-rate" }>;

const WHERE_CLIPS_BEGIN: Measured = { value: 0, u: 0 };

/** The clock of a clip whose document states parts: each rate with the checks that speak of it. */
export function clockOfParts(
  clock: ByRate,
  checks: readonly ClockCheck[],
  readout: Readout | null,
): ClockOfParts {
  const stated = [
    { from: WHERE_CLIPS_BEGIN, rate: clock.captureRateHz },
    ...(clock.parts ?? []).map(({ captureRateHz }, k) => ({
      from: (clockParts(clock)[k] as ClockPart).from,
      rate: captureRateHz,
    })),
  ];
  const notices: ShotNotice[] = [];
  const parts = stated.map(({ from, rate }, k): PartInUse => {
    const used = rateInUse(captureRate(rate), checksOfRate(rate, checks, true), clock.useChecks === true);
    const isFirst = stated.findIndex((one) => isSameRate(one.rate, rate)) === k;
    if (isFirst) notices.push(...used.notices);
    return { from, captureRateHz: used.rate, stated: rate, errors: used.errors };
  });
  const movedBy = (moves: readonly PartMove[]) => {
    const [first, ...later] = parts.map((part, k) => movedPart(part, k, moves));
    const made = frameClock(
      {
        kind: "capture-rate",
        captureRateHz: (first as ClockPart).captureRateHz,
        parts: inOrder(later),
        gaps: clock.gaps,
        repeats: clock.repeats ?? null,
        readout,
      },
      null,
    );
    if (!made.ok) throw new Error(`clockOfParts: ${made.code}`); // a clock by capture rate refuses nothing
    return made.value;
  };
  return { clock: movedBy([]), movedBy, parts, notices };
}

/** @param at 0 of the part that begins the clip, whose border is none */
function movedPart({ from, captureRateHz, stated }: PartInUse, at: number, moves: readonly PartMove[]) {
  let [border, rateHz] = [from.value, captureRateHz.value];
  for (const move of moves) {
    if (move.of === "border" && move.at === at) border += move.frames;
    if (move.of === "rate" && isSameRate(move.rate, stated)) rateHz /= 1 + move.longer;
  }
  return { from: { ...from, value: border }, captureRateHz: { ...captureRateHz, value: rateHz } };
}

const LEAST_PART = 1e-6; // frames: a border that was moved past another one ends just after it

function inOrder(parts: readonly ClockPart[]): readonly ClockPart[] {
  let before = 0;
  return parts.map((part) => {
    before = Math.max(part.from.value, before + LEAST_PART);
    return { ...part, from: { ...part.from, value: before } };
  });
}
