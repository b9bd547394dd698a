import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import { DEFERENCE } from "./cautions.ts";

export interface EndStopFacts {
  readonly energyJ: Measured;
  readonly meanN: Measured;
  readonly peakN: Measured;
  /** N, rated load of the weakest joint; null when unknown. */
  readonly ratedLoadN: number | null;
}

/**
 * The end stop's load against the rating of its weakest joint: a danger where the peak of a spring buffer passes it, a warning where
 * it may within twice its uncertainty. That joints at the stop are what breaks first is common practice; there is no source.
 */
export function endStopCautions(
  { energyJ, meanN, peakN, ratedLoadN }: EndStopFacts,
  units: UnitSet,
): readonly Notice[] {
  const shown = (x: Measured, unit: Unit) => showMeasured(x, unit, units).text;
  const load = `The end stop takes ${shown(energyJ, "J")}: ${shown(meanN, "N")} with a buffer of constant force, up to ${shown(peakN, "N")} with a springy one.`;
  const first = "Joints at the stop are what breaks first in practice.";
  if (ratedLoadN === null) {
    return [
      {
        level: "note",
        code: "end-stop-rating-unknown",
        cause: `${load} ${first} No rated load is stated for them, so the load cannot be held against it.`,
        remedy: `Enter the rated load of the weakest joint at the stop. ${DEFERENCE}`,
      },
    ];
  }
  const rated = showExact(ratedLoadN, "N", units);
  const standing = standingOf(peakN, ratedLoadN);
  if (standing === "within") return [];
  return [
    standing === "above"
      ? {
          level: "danger",
          code: "end-stop-over",
          cause: `${load} The weakest joint is rated for ${rated}. ${first} A joint that breaks lets piston and rod fly.`,
          remedy: `Do not shoot with this stop: lengthen the buffer's travel, lighten what moves, or lower the pressure. ${DEFERENCE}`,
        }
      : {
          level: "warning",
          code: "end-stop-near",
          cause: `${load} Within twice its uncertainty it may be above the ${rated} the weakest joint is rated for. ${first}`,
          remedy: `Lengthen the buffer's travel or know it, the mass and the pressure better. ${DEFERENCE}`,
        },
  ];
}

/**
 * Loads along the push on what carries the cylinder against the rating of its fixings: the push back during the stroke, and the pull
 * forward while the end stop takes the moving parts (null where the buffer's travel is not known).
 */
export function baseCautions(
  pushN: Measured,
  pullN: Measured | null,
  ratedLoadN: number | null,
  units: UnitSet,
): readonly Notice[] {
  if (ratedLoadN === null) return [];
  const rated = showExact(ratedLoadN, "N", units);
  const loads = [
    { code: "base-push", load: pushN, words: "The ram pushes its base back" },
    ...(pullN ? [{ code: "base-pull", load: pullN, words: "The end stop pulls the base forward" }] : []),
  ];
  return loads.flatMap(({ code, load, words }): Notice[] => {
    const standing = standingOf(load, ratedLoadN);
    if (standing === "within") return [];
    const shown = showMeasured(load, "N", units).text;
    return [
      standing === "above"
        ? {
            level: "danger",
            code: `${code}-over`,
            cause: `${words} with up to ${shown}, above the ${rated} its fixings are rated for: it can tear loose.`,
            remedy: `Do not shoot from these fixings: strengthen them or lower the pressure. ${DEFERENCE}`,
          }
        : {
            level: "warning",
            code: `${code}-near`,
            cause: `${words} with up to ${shown}; within twice its uncertainty it may be above the ${rated} its fixings are rated for.`,
            remedy: `Strengthen the fixings, lower the pressure, or know the inputs better. ${DEFERENCE}`,
          },
    ];
  });
}

function standingOf(load: Measured, rated: number): "above" | "near" | "within" {
  if (load.value > rated) return "above";
  return load.value + 2 * load.u > rated ? "near" : "within";
}
