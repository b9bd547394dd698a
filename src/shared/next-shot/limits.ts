import { baseCaution } from "../launch/ram/load-cautions.ts";
import type { LauncherLimits } from "../launchers/launcher-kind-model.ts";
import { launcherModel } from "../launchers/launcher-models.ts";
import { greatestLoad } from "../launchers/margin-notices.ts";
import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { BaseLoad } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { LIMIT_NOTICES, type LimitName, limitWords, type NextNotice } from "./next-notices.ts";
import type { Predicted, Quantities } from "./setting-model.ts";

/**
 * inside: with twice the standard uncertainty to spare. in-doubt: the value is inside, but not by that much.
 * no-limit: none stated. no-value: a limit is stated that cannot be checked.
 */
export type LimitState = "inside" | "in-doubt" | "outside" | "no-limit" | "no-value";

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
  readonly state: LimitState;
  /** What to know beside the number; null when there is nothing. */
  readonly notice: NextNotice | null;
}

/** Widths of a limit's doubt that must be free, in standard uncertainties. */
export const LIMIT_K = 2;

interface Limit {
  readonly name: LimitName;
  readonly unit: Unit;
  readonly side: "most" | "least";
  readonly limit: (launch: LaunchInputs, leastStallMargin: number | null) => Measured | null | "not-here";
  readonly value: (quantities: Quantities, launch: LaunchInputs) => Measured | null;
  /** The value goes with this power of release speed: forces at a given stroke as v², being v²/(2 L). */
  readonly power: number;
}

const stated = (value: number | null | undefined): Measured | null =>
  value == null ? null : { value, u: 0 };

/** A limit that only some kinds of launcher have. */
const ofLauncher =
  (name: keyof LauncherLimits) =>
  ({ launcher }: LaunchInputs): Measured | null | "not-here" => {
    const limits = launcher === null ? {} : launcherModel(launcher).limits(launcher);
    return name in limits ? stated(limits[name]) : "not-here";
  };

const LIMITS: readonly Limit[] = [
  {
    name: "rating",
    unit: "Pa",
    side: "most",
    limit: ofLauncher("rating"),
    value: (_, { conditions }) => conditions.gaugePressurePa,
    power: 0,
  },
  {
    name: "relief",
    unit: "Pa",
    side: "most",
    limit: ofLauncher("relief"),
    value: (_, { conditions }) => conditions.gaugePressurePa,
    power: 0,
  },
  {
    name: "load",
    unit: "1",
    side: "most",
    limit: ({ airframe }) => airframe.loadLimitG,
    value: greatestLoad,
    power: 2,
  },
  {
    name: "end-stop",
    unit: "N",
    side: "most",
    limit: ofLauncher("end-stop"),
    value: ({ endStopPeakForce }) => endStopPeakForce ?? null,
    power: 2,
  },
  {
    name: "base",
    unit: "N",
    side: "most",
    limit: ofLauncher("base"),
    value: ({ peakBaseReaction }) => peakBaseReaction ?? null,
    power: 2,
  },
  {
    name: "stretch",
    unit: "1",
    side: "most",
    limit: ofLauncher("stretch"),
    value: ({ lineStretch }) => lineStretch ?? null,
    power: 0,
  },
  {
    name: "anchor",
    unit: "N",
    side: "most",
    limit: ofLauncher("anchor"),
    value: ({ anchorPull }) => anchorPull ?? null,
    power: 0,
  },
  {
    name: "carriage-stop",
    unit: "N",
    side: "most",
    limit: ofLauncher("carriage-stop"),
    value: ({ endStopPeakForce }) => endStopPeakForce ?? null,
    power: 2,
  },
  {
    name: "stall",
    unit: "1",
    side: "least",
    limit: (_, leastStallMargin) => stated(leastStallMargin),
    value: ({ stallMargin }) => stallMargin ?? null,
    power: 1,
  },
];

/**
 * Every limit of the launcher's kind at one setting, in the order of the chain from tank to wing. A limit is
 * kept when the value stays clear of it by twice the root sum of squares of both standard uncertainties and
 * of what the scatter from shot to shot adds.
 * @param scatter relative standard deviation of release speed from shot to shot; 0 when none is known
 */
export function checkLimits(
  { quantities, baseLoads }: Pick<Predicted, "quantities" | "baseLoads">,
  launch: LaunchInputs,
  leastStallMargin: number | null,
  scatter: number,
): readonly LimitCheck[] {
  const { units } = launch;
  return LIMITS.flatMap((one): LimitCheck[] => {
    const limit = one.limit(launch, leastStallMargin);
    if (limit === "not-here") return [];
    const { name, unit, side } = one;
    const value = one.value(quantities, launch);
    const held = { value: value && { value: value.value, u: value.u }, limit };
    const own = stateOf(one, value, limit, scatter);
    const pull = name === "base" && own !== "outside" ? pullThatBinds(baseLoads) : null;
    const state = pull === null ? own : STATE_OF_PULL[pull.standing];
    const notice = pull === null ? noticeOf({ name, unit, state, ...held }, units) : baseCaution(pull, units);
    return [{ name, words: limitWords(name), unit, side, ...held, state, notice }];
  });
}

/**
 * The end stop also pulls the base forward while it takes the moving parts. That load is no result of its
 * own: it is held against the base's rating beside the push back, and stands for the limit when it passes the
 * rating or may.
 */
function pullThatBinds(
  loads: readonly BaseLoad[],
): (BaseLoad & { readonly standing: keyof typeof STATE_OF_PULL }) | null {
  const pull = loads.find(({ way }) => way === "pull");
  return pull === undefined || pull.standing === "within" ? null : { ...pull, standing: pull.standing };
}

const STATE_OF_PULL = { above: "outside", near: "in-doubt" } as const;

/** Whether nothing that could be checked is outside or in doubt. */
export function isInside(checks: readonly LimitCheck[]): boolean {
  return checks.every(({ state }) => state !== "outside" && state !== "in-doubt");
}

function stateOf(
  { side, power }: Limit,
  value: Measured | null,
  limit: Measured | null,
  scatter: number,
): LimitState {
  if (limit === null) return "no-limit";
  if (value === null) return "no-value";
  const room = side === "most" ? limit.value - value.value : value.value - limit.value;
  if (room < 0) return "outside";
  const u = Math.hypot(value.u, limit.u, power * scatter * value.value);
  return room >= LIMIT_K * u ? "inside" : "in-doubt";
}

function noticeOf(
  { name, unit, value, limit, state }: Pick<LimitCheck, "name" | "unit" | "value" | "limit" | "state">,
  units: UnitSet,
): NextNotice | null {
  if (state === "inside") return null;
  const tell = LIMIT_NOTICES[`next-${name}`];
  if (state === "no-limit" || state === "no-value") return tell({ state });
  const show = (measured: Measured) =>
    measured.u > 0 ? showMeasured(measured, unit, units).text : showExact(measured.value, unit, units);
  // without one of them there is no such state
  return tell({ state, value: show(value!), limit: show(limit!) });
}
