import { type ForcePoint, tableProblem } from "../../launch/elastic/elastic-curve.ts";
import { anchorPull } from "../../launch/elastic/line-loads.ts";
import { standingOf } from "../../launch/standing.ts";
import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import { lastOf } from "../../quantity/known-element.ts";
import type { Measured, Quantity, Unit } from "../../quantity/measured.ts";
import { LINE_NOTICES } from "../../results/notices/launch-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { ElasticLauncher } from "../../session/schema.ts";
import { aboveZero, propagate, type UncertainInput } from "../../uncertainty/propagate.ts";

/** What the draw alone puts on line and anchor, whatever is launched. */
export interface LineLoads {
  /** 1, extension at the draw over the free length. */
  readonly lineStretch?: Quantity;
  /** N, greatest pull of all lines on their anchor. */
  readonly anchorPull?: Quantity;
}

/**
 * Stretch of the line and pull on its anchor at full draw, u to first order; what is not known is left out:
 * the stretch without a free length, the pull without a force at the draw.
 */
export function lineLoads(launcher: ElasticLauncher): LineLoads {
  const { drawM, freeLengthM, forceScale, loading, lines } = launcher;
  const draw = aboveZero("drawM", drawM);
  return {
    ...(freeLengthM && {
      lineStretch: {
        ...propagated(
          ([extension, length]) => extension! / length!,
          [draw, aboveZero("freeLengthM", freeLengthM)],
        ),
        unit: "1" as const,
        how: "the draw over the free length of one line",
      },
    }),
    ...(reaches(loading, drawM.value) && {
      anchorPull: {
        ...propagated(
          ([extension, scale]) => anchorPull({ loading, lines, drawM: extension!, forceScale: scale! }),
          [{ ...draw, high: Math.max(drawM.value, lastOf(loading)[0]) }, aboveZero("forceScale", forceScale)],
        ),
        unit: "N" as const,
        how: "greatest force of the table up to the draw, times the lines side by side, all on one anchor; held still, without a jerk",
      },
    }),
  };
}

/** Whether a table says the force at a draw. */
function reaches(table: readonly ForcePoint[], drawM: number): boolean {
  return tableProblem(table) === null && drawM <= lastOf(table)[0] * (1 + ROUNDING);
}

const ROUNDING = 1e-9; // as where a draw is held against its table

function propagated(
  model: (values: readonly number[]) => number,
  inputs: readonly UncertainInput[],
): Measured {
  const result = propagate((values) => [model(values)], inputs);
  // within their limits every input has a value
  if (!result.ok) throw new RangeError(`lineLoads: ${result.code}`);
  return { value: result.value.values[0]!, u: result.value.u[0]! };
}

/** Line and anchor at full draw against what is stated that they take; with or without a prediction. */
export function lineLoadNotices(launcher: ElasticLauncher, units: UnitSet): readonly ShotNotice[] {
  const { lineStretch, anchorPull: pull } = lineLoads(launcher);
  const { stretchLimit, anchorRatedLoadN } = launcher;
  const exact = (value: number, unit: Unit) => showExact(value, unit, units);
  const stretch =
    stretchLimit == null
      ? null
      : lineStretch === undefined
        ? LINE_NOTICES["line-length-unknown"](exact(stretchLimit, "1"))
        : heldAgainst("line-stretch", lineStretch, stretchLimit, units);
  const anchor =
    anchorRatedLoadN == null || pull === undefined
      ? null
      : heldAgainst("anchor", pull, anchorRatedLoadN, units);
  return [stretch, anchor].filter((notice) => notice !== null);
}

function heldAgainst(
  what: "line-stretch" | "anchor",
  load: Quantity,
  limit: number,
  units: UnitSet,
): ShotNotice | null {
  const standing = standingOf(load, limit);
  if (standing === "within") return null;
  const says = LINE_NOTICES[`${what}-${standing === "above" ? "over" : "near"}`];
  return says(showMeasured(load, load.unit, units).text, showExact(limit, load.unit, units));
}

export interface CarriageStopFacts {
  readonly energyJ: Measured;
  readonly meanN: Measured;
  readonly peakN: Measured;
  /** N, rated load of the weakest joint; null when unknown. */
  readonly ratedLoadN: number | null;
}

/** The load of the carriage's stop against the rating of its weakest joint, as of a ram's end stop. */
export function carriageStopNotices(
  { energyJ, meanN, peakN, ratedLoadN }: CarriageStopFacts,
  units: UnitSet,
): readonly ShotNotice[] {
  const shown = (x: Measured, unit: Unit) => showMeasured(x, unit, units).text;
  const load = `The carriage's stop takes ${shown(energyJ, "J")}: ${shown(meanN, "N")} with a buffer of constant force, up to ${shown(peakN, "N")} with a springy one.`;
  if (ratedLoadN === null) return [LINE_NOTICES["carriage-stop-rating-unknown"](load)];
  const standing = standingOf(peakN, ratedLoadN);
  if (standing === "within") return [];
  const rated = showExact(ratedLoadN, "N", units);
  return [LINE_NOTICES[`carriage-stop-${standing === "above" ? "over" : "near"}`](load, rated)];
}
