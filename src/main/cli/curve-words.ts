import { perSecond } from "../../shared/curve/curve-units.ts";
import type { CurveChange, CurveEstimate } from "../../shared/curve/estimate-curve.ts";
import type { CurveLog } from "../../shared/curve/read-curve-csv.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import { table, wrapped } from "./table.ts";

const SHOWN = 20; // change points; more are in the figure and in --json

/** What was read, how uncertain the values are, and the change points. */
export function curveWords(log: CurveLog, estimate: CurveEstimate): string {
  const { changes, points } = estimate;
  const withheld = [
    points.filter(({ rate }) => rate === null).length,
    points.filter(({ acceleration }) => acceleration === null).length,
  ];
  return [
    wrapped(readWords(log, estimate), ""),
    wrapped(errorWords(log, estimate), ""),
    changes.length === 0
      ? "No change points.\n"
      : `${changes.length} change point${changes.length === 1 ? "" : "s"}\n${changeTable(log, changes)}`,
    withheld.some((count) => count > 0)
      ? wrapped(
          `Left empty beside change points, where the samples do not determine it: the rate at ${withheld[0]} and the acceleration at ${withheld[1]} of the times.`,
          "",
        )
      : "",
  ].join("");
}

function readWords(
  { columns, unit, timeUnitStated, empty, repeated }: CurveLog,
  { samples }: CurveEstimate,
): string {
  const time = timeUnitStated ? "" : ", its times taken to be in s";
  const inUnit = unit === "" ? "" : ` in ${unit}`;
  const gaps = empty === 0 ? "" : ` ${empty} line${empty === 1 ? "" : "s"} without a value left out.`;
  const same =
    repeated === 0
      ? ""
      : ` ${repeated} line${repeated === 1 ? "" : "s"} at the time of the one before averaged with it.`;
  return `“${columns.value}”${inUnit} against “${columns.time}”${time}: ${samples} different times.${gaps}${same}`;
}

function errorWords({ unit }: CurveLog, { errors }: CurveEstimate): string {
  const { size, stated, lag } = errors;
  const number = `${Number(size.toPrecision(2))}`;
  const lasting =
    lag === 0
      ? "they are taken to be independent"
      : `an error lasts: its correlation with the next is ${lag.toFixed(2)}`;
  if (stated) return `Errors of the values as stated; ${lasting}.`;
  return `Standard deviation of a value's error, from the scatter: ${number}${unit === "" ? "" : ` ${unit}`}; ${lasting}.`;
}

const KIND_WORDS: Readonly<Record<CurveChange["kind"], string>> = {
  value: "the value jumps",
  rate: "the rate jumps",
  acceleration: "the acceleration jumps",
  smoothness: "it bends more or less freely",
};

function changeTable({ unit }: CurveLog, changes: readonly CurveChange[]): string {
  const units = [unit, perSecond(unit, 1), perSecond(unit, 2)];
  const rows = changes.slice(0, SHOWN).map(({ time, kind, probability, jumps }) => {
    const at = jumps.findIndex((jump) => jump !== null);
    const jump = jumps[at];
    const by = jump ? `by ${inUnit(jump, units[at] ?? "")}` : "";
    return [
      inUnit(time, "s"),
      KIND_WORDS[kind],
      by,
      probability > 0.99 ? "> 99 %" : `${Math.floor(100 * probability)} %`,
    ];
  });
  const more = changes.length > SHOWN ? `  ${changes.length - SHOWN} more; --json lists all.\n` : "";
  return table([["time", "what", "", "likely"], ...rows]) + more;
}

/** value ± u in a unit of the person's own. */
function inUnit(measured: Measured, unit: string): string {
  const { value, u } = showMeasured(measured, "1");
  return `${value} ± ${u}${unit === "" ? "" : ` ${unit}`}`;
}
