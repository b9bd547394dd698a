import { showExact, showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import { LOAD_NOTICES } from "../../results/notices/launch-notices.ts";
import type { BaseLoad } from "../../results/shot-result.ts";
import type { LaunchNotice } from "../cautions.ts";
import { standingOf } from "../standing.ts";

export interface EndStopFacts {
  readonly energyJ: Measured;
  readonly meanN: Measured;
  readonly peakN: Measured;
  /** N, rated load of the weakest joint; null when unknown. */
  readonly ratedLoadN: number | null;
}

/**
 * The end stop's load against the rating of its weakest joint: a danger where the peak of a spring buffer
 * passes it, a warning where it may within twice its uncertainty.
 */
export function endStopCautions(
  { energyJ, meanN, peakN, ratedLoadN }: EndStopFacts,
  units: UnitSet,
): readonly LaunchNotice[] {
  const shown = (x: Measured, unit: Unit) => showMeasured(x, unit, units).text;
  const load = `The end stop takes ${shown(energyJ, "J")}: ${shown(meanN, "N")} with a buffer of constant force, up to ${shown(peakN, "N")} with a springy one.`;
  if (ratedLoadN === null) return [LOAD_NOTICES["end-stop-rating-unknown"](load)];
  const rated = showExact(ratedLoadN, "N", units);
  switch (standingOf(peakN, ratedLoadN)) {
    case "above":
      return [LOAD_NOTICES["end-stop-over"](load, rated)];
    case "near":
      return [LOAD_NOTICES["end-stop-near"](load, rated)];
    case "within":
      return [];
  }
}

/**
 * How the loads on the base stand to the rating of its fixings.
 * @param pullN null where the buffer's travel is not known
 * @param ratedLoadN null when unknown: nothing can be said then
 */
export function baseLoads(
  pushN: Measured,
  pullN: Measured | null,
  ratedLoadN: number | null,
): readonly BaseLoad[] {
  if (ratedLoadN === null) return [];
  const loads = [
    { way: "push" as const, loadN: pushN },
    ...(pullN === null ? [] : [{ way: "pull" as const, loadN: pullN }]),
  ];
  return loads.map((one) => ({ ...one, ratedLoadN, standing: standingOf(one.loadN, ratedLoadN) }));
}

/** What to know of a load on the base; null while it stays within the rating. */
export function baseCaution(
  { way, loadN, ratedLoadN, standing }: BaseLoad,
  units: UnitSet,
): LaunchNotice | null {
  if (standing === "within") return null;
  const [load, rated] = [showMeasured(loadN, "N", units).text, showExact(ratedLoadN, "N", units)];
  return LOAD_NOTICES[`base-${way}-${standing === "above" ? "over" : "near"}`](load, rated);
}
