import { DEFERENCE } from "../launch/cautions.ts";
import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Changed } from "./setting.ts";
import type { Predicted, Quantities } from "./setting-model.ts";

export type LimitName = "rating" | "load" | "end-stop" | "base" | "stall";

/** What a limit is held against, at one setting. */
export interface LimitCheck {
  readonly name: LimitName;
  readonly words: string;
  readonly unit: Unit;
  /** What it would be; null when the model cannot say. */
  readonly value: Measured | null;
  /** null when none is stated. */
  readonly limit: Measured | null;
  readonly side: "most" | "least";
  /**
   * inside: with twice the standard uncertainty to spare. in-doubt: the value is inside, but not by that much. no-limit: none stated.
   * no-value: a limit is stated that cannot be checked.
   */
  readonly state: "inside" | "in-doubt" | "outside" | "no-limit" | "no-value";
  /** What to know beside the number; null when there is nothing. */
  readonly notice: Notice | null;
}

/** Widths of a limit's doubt that must be free, in standard uncertainties. */
export const LIMIT_K = 2;

interface Limit {
  readonly name: LimitName;
  readonly words: string;
  readonly unit: Unit;
  readonly side: "most" | "least";
  readonly limit: (changed: Changed, leastStallMargin: number | null) => Measured | null | "not-here";
  readonly value: (quantities: Quantities, changed: Changed) => Measured | null;
  /** The value goes with this power of release speed: forces at a given stroke as v², being v²/(2 L). */
  readonly power: number;
}

const stated = (value: number | null | undefined): Measured | null =>
  value == null ? null : { value, u: 0 };

const LIMITS: readonly Limit[] = [
  {
    name: "rating",
    words: "Tank pressure",
    unit: "Pa",
    side: "most",
    limit: ({ session: { launcher } }) =>
      launcher?.kind === "compressed-air-ram" ? stated(launcher.tankRatingPa) : "not-here",
    value: (_, { shot }) => shot.conditions.gaugePressurePa,
    power: 0,
  },
  {
    name: "load",
    words: "Load factor",
    unit: "1",
    side: "most",
    limit: ({ session }) => session.airframe.loadLimitG,
    value: ({ loadFactor }) => loadFactor ?? null,
    power: 2,
  },
  {
    name: "end-stop",
    words: "Peak force of the end stop",
    unit: "N",
    side: "most",
    limit: ({ session: { launcher } }) =>
      launcher?.kind === "compressed-air-ram" ? stated(launcher.endStop?.ratedLoadN) : "not-here",
    value: ({ endStopPeakForce }) => endStopPeakForce ?? null,
    power: 2,
  },
  {
    name: "base",
    words: "Push back on the base",
    unit: "N",
    side: "most",
    limit: ({ session: { launcher } }) =>
      launcher?.kind === "compressed-air-ram" ? stated(launcher.baseRatedLoadN) : "not-here",
    value: ({ peakBaseReaction }) => peakBaseReaction ?? null,
    power: 2,
  },
  {
    name: "stall",
    words: "Stall margin",
    unit: "1",
    side: "least",
    limit: (_, leastStallMargin) => stated(leastStallMargin),
    value: ({ stallMargin }) => stallMargin ?? null,
    power: 1,
  },
];

/**
 * Every limit of the launcher's kind at one setting, in the order of the chain from tank to wing. A limit is kept when the value stays clear
 * of it by twice the root sum of squares of both standard uncertainties and of what the scatter from shot to shot adds.
 * @param scatter relative standard deviation of release speed from shot to shot; 0 when none is known
 */
export function checkLimits(
  { quantities, notices }: Predicted,
  changed: Changed,
  leastStallMargin: number | null,
  scatter: number,
  units: UnitSet,
): readonly LimitCheck[] {
  return LIMITS.flatMap((one): LimitCheck[] => {
    const limit = one.limit(changed, leastStallMargin);
    if (limit === "not-here") return [];
    const value = one.value(quantities, changed);
    const { name, words, unit, side } = one;
    const state = stateOf(one, value, limit, scatter);
    const check = {
      name,
      words,
      unit,
      side,
      value: value && { value: value.value, u: value.u },
      limit,
      state,
    };
    return [pulled({ ...check, notice: noticeOf(check, units) }, notices)];
  });
}

/**
 * The end stop also pulls the base forward while it takes the moving parts. That load is no result of its own: the model only says when it
 * passes the base's rating, or may.
 */
function pulled(check: LimitCheck, notices: readonly Notice[]): LimitCheck {
  if (check.name !== "base" || check.state === "outside") return check;
  const over = notices.find(({ code }) => code === "base-pull-over");
  if (over !== undefined) return { ...check, state: "outside", notice: over };
  const near = notices.find(({ code }) => code === "base-pull-near");
  return near === undefined ? check : { ...check, state: "in-doubt", notice: near };
}

/** Whether nothing that could be checked is outside or in doubt. */
export function isInside(checks: readonly LimitCheck[]): boolean {
  return checks.every(({ state }) => state !== "outside" && state !== "in-doubt");
}

function stateOf(
  { side, power }: Limit,
  value: Measured | null,
  limit: Measured | null,
  scatter: number,
): LimitCheck["state"] {
  if (limit === null) return "no-limit";
  if (value === null) return "no-value";
  const room = side === "most" ? limit.value - value.value : value.value - limit.value;
  if (room < 0) return "outside";
  const u = Math.hypot(value.u, limit.u, power * scatter * value.value);
  return room >= LIMIT_K * u ? "inside" : "in-doubt";
}

const UNSTATED: Readonly<Record<LimitName, readonly [cause: string, remedy: string]>> = {
  rating: [
    "The maker's rating of the weakest pressure part is not stated.",
    `Read the rating off every pressure part and enter the lowest. ${DEFERENCE}`,
  ],
  load: ["No load limit of the airframe is stated.", "Enter one under Verdict."],
  "end-stop": [
    "No rated load of the end stop's weakest joint is stated; joints at the stop are what breaks first in practice.",
    `Enter buffer travel and rated load under Model. ${DEFERENCE}`,
  ],
  base: ["No rated load of the base's fixings is stated.", `Enter one under Model. ${DEFERENCE}`],
  stall: ["No least stall margin is asked for.", "Ask for one; builders keep 1.2 to 1.3."],
};

const MISSING: Readonly<Record<LimitName, string>> = {
  rating: "Enter what the gauge reads.",
  load: "Complete what the model needs.",
  "end-stop": "Enter the buffer's travel under Model.",
  base: "Complete what the model needs.",
  stall: "Enter wing area and greatest lift coefficient under Verdict.",
};

const BROKEN: Readonly<Record<LimitName, readonly [what: string, remedy: string]>> = {
  rating: ["the tank may burst", `Do not fill it to this pressure. ${DEFERENCE}`],
  load: ["the push can break the airframe", "Lengthen the stroke or strengthen the airframe."],
  "end-stop": [
    "the joint at the stop can break and let piston and rod fly",
    `Give the buffer more travel, lighten what moves, or use a stronger joint. ${DEFERENCE}`,
  ],
  base: ["the base can tear loose", `Fix it better, or push less hard. ${DEFERENCE}`],
  stall: ["the wing may not carry the airframe at release", "Launch faster, lighter, or into more wind."],
};

function noticeOf(check: Omit<LimitCheck, "notice">, units: UnitSet): Notice | null {
  const { name, words, unit, side, value, limit, state } = check;
  if (state === "inside") return null;
  const code = `next-${name}`;
  if (state === "no-limit" || limit === null) {
    const [cause, remedy] = UNSTATED[name];
    return { level: "note", code, cause, remedy };
  }
  if (value === null) {
    return {
      level: "warning",
      code,
      cause: `${words} cannot be held against the limit stated: the model cannot tell it.`,
      remedy: MISSING[name],
    };
  }
  const [what, remedy] = BROKEN[name];
  const show = (measured: Measured) =>
    measured.u > 0 ? showMeasured(measured, unit, units).text : showExact(measured.value, unit, units);
  const against = `${words} would be ${show(value)}, the ${side === "most" ? "limit" : "least asked for"} ${show(limit)}`;
  return state === "outside"
    ? { level: "danger", code, cause: `${against}: ${what}.`, remedy }
    : {
        level: "warning",
        code,
        cause: `${against}: within twice its uncertainty and scatter it may be passed, and ${what}.`,
        remedy: `${remedy.startsWith("Do not") ? "Stay below it, or use a better gauge." : "Keep more distance, or know it better."} ${remedy}`,
      };
}
