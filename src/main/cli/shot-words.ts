import { partsSay } from "../../shared/measure/part-words.ts";
import { sizeSays } from "../../shared/measure/size-check.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import type { Notice } from "../../shared/quantity/notice.ts";
import { isComparable, QUANTITIES, QUANTITY_NAMES } from "../../shared/results/quantity-table.ts";
import {
  type Comparison,
  type DrawnResults,
  HEADLINES,
  type Measurement,
  type Prediction,
  type ShotResult,
} from "../../shared/results/shot-result.ts";
import type { Session } from "../../shared/session/schema.ts";
import { table, wrapped } from "./table.ts";

/** A shot's results as a person reads them in a terminal: a table of value ± u, then what should be known. */
export function shotWords(session: Session, result: ShotResult): string {
  const shot = session.shots.find((one) => one.id === result.shotId);
  const heading = `${shot?.name ?? result.shotId}${shot?.clip == null ? "" : ` (${shot.clip})`}\n`;
  const verdict = result.comparison === null ? "" : `  ${result.comparison.verdict}\n`;
  const { measurement, prediction, comparison } = result;
  return (
    heading +
    quantityTable(measurement, prediction, comparison, session.units) +
    clockWords(session, result) +
    sizeWords(session, measurement) +
    verdict +
    (comparison?.reading ? wrapped(comparison.reading.text, "  ") : "") +
    drawnWords(measurement?.drawn, session.units) +
    noticeWords(result.notices)
  );
}

/** Each notice under its level: what is wrong, then what to do. */
export function noticeWords(notices: readonly Notice<string>[]): string {
  return notices
    .map(({ level, cause, remedy }) => `  ${level}\n${wrapped(`${cause} ${remedy}`, "    ")}`)
    .join("");
}

/** The capture rate in use, what it rests on, and what else says something of it. */
function clockWords(session: Session, { shotId, measurement }: ShotResult): string {
  if (measurement === null) return "";
  const { captureRateHz, clockParts, clockChecks, flightBend } = measurement;
  const lines: string[] = [];
  if (captureRateHz !== null) {
    const clock = session.shots.find(({ id }) => id === shotId)?.clock;
    const isChecked = clock?.kind === "capture-rate" && clock.useChecks === true && clockChecks.length > 0;
    const from = isChecked ? "the stated rate and its checks together" : "as stated";
    lines.push(`Capture rate ${showMeasured(captureRateHz, "1").text} frames/s, ${from}.`);
  }
  if (clockParts !== undefined) {
    const [first, ...later] = clockParts;
    lines.push(`Capture rate ${first === undefined ? "" : partsSay(first.captureRateHz, later)}.`);
  }
  for (const check of clockChecks) {
    const where = session.shots.find(({ id }) => id === check.shotId)?.name ?? check.shotId;
    const what = check.kind === "drop" ? "A drop" : "The lamp";
    lines.push(`${what} in ${where} implies ${showMeasured(check.captureRateHz, "1").text} frames/s.`);
  }
  if (flightBend !== undefined) {
    const { text } = showMeasured(flightBend, "1");
    lines.push(
      `After release the path bends ${text} times as much as by gravity alone: 1 for a stone, less where wings carry.`,
    );
  }
  return lines.map((line) => wrapped(line, "  ")).join("");
}

/** What of the airframe was taped, beside what the scale makes of it. */
function sizeWords({ points, units }: Session, measurement: Measurement | null): string {
  const check = measurement?.sizeCheck;
  return check === undefined ? "" : wrapped(`By the scale, ${sizeSays(check, points, units)}.`, "  ");
}

/** What drawing all inputs says of the stated uncertainties. */
function drawnWords(drawn: DrawnResults | undefined, units: UnitSet): string {
  if (drawn === undefined) return "";
  const rows = HEADLINES.flatMap((name) => {
    const one = drawn.headlines[name];
    if (one === undefined) return [];
    const { words, unit } = QUANTITIES[name];
    const [apart, together] = [one.apart, one.together].map((of) => showMeasured(of, unit, units).text);
    return [[words, apart as string, together as string, one.agree ? "agree" : "differ: stated as drawn"]];
  });
  return `\n${table([["", "one input at a time", `all drawn, ${drawn.draws} times`, ""], ...rows])}`;
}

function quantityTable(
  measurement: Measurement | null,
  prediction: Prediction | null,
  comparison: Comparison | null,
  units: UnitSet,
): string {
  const rows = QUANTITY_NAMES.flatMap((name) => {
    const measured = measurement?.quantities[name];
    const predicted = measurement === null || isComparable(name) ? prediction?.quantities[name] : undefined;
    if (measured === undefined && predicted === undefined) return [];
    const difference = comparison?.differences.find((one) => one.name === name);
    const { words, unit } = QUANTITIES[name];
    return [
      [
        words,
        measured === undefined ? "" : showMeasured(measured, unit, units).text,
        predicted === undefined ? "" : showMeasured(predicted, unit, units).text,
        difference === undefined ? "" : `${difference.inU.toFixed(1).replace("-", "−")} u`,
      ],
    ];
  });
  if (rows.length === 0) return "";
  const columns = [
    true,
    measurement !== null,
    prediction !== null,
    comparison !== null && comparison.differences.length > 0,
  ];
  const heading = ["", "measured", "predicted", "difference"];
  return table([heading, ...rows].map((row) => row.filter((_, i) => columns[i])));
}
