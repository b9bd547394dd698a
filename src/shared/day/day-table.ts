import { displayUnit, showMeasured, type UnitSet } from "../quantity/display.ts";
import { type Cell, csvText } from "../results/csv.ts";
import { DAY_COLUMNS, type DayColumn, type DayShot } from "./day-columns.ts";

/** How a day is looked at: none of it changes a shot. */
export interface DayOrder {
  readonly by: string;
  readonly down: boolean;
}

/** What words a column of times in: the person's own clock. */
export type TimeWords = (ms: number) => string;

/** "Release speed, m/s": what heads a column. */
export function headOf(column: DayColumn, units: UnitSet): string {
  if (column.holds !== "measured") return column.words;
  const { symbol } = displayUnit(column.unit, units);
  return symbol === "" ? column.words : `${column.words}, ${symbol}`;
}

/** What a cell shows; the unit stands at the head of the column. Empty for what is not known. */
export function cellText(column: DayColumn, one: DayShot, units: UnitSet, time: TimeWords): string {
  switch (column.holds) {
    case "text":
      return column.of(one);
    case "time": {
      const ms = column.of(one);
      return ms === null ? "" : time(ms);
    }
    case "measured": {
      const value = column.of(one);
      if (value === null) return "";
      const shown = showMeasured(value, column.unit, units, column.signed);
      return `${shown.value} ± ${shown.u}`;
    }
  }
}

/** The same with its unit, for a place where no head stands above it. */
export function cellWithUnit(column: DayColumn, one: DayShot, units: UnitSet, time: TimeWords): string {
  if (column.holds !== "measured") return cellText(column, one, units, time);
  const value = column.of(one);
  return value === null ? "" : showMeasured(value, column.unit, units, column.signed).text;
}

/**
 * The shots that every word of a filter is found in, in any of the shown cells, whatever the case; then in
 * order of a column. Shots without a value there come last, whichever way it goes; equal ones keep their
 * order.
 */
export function arranged(
  shots: readonly DayShot[],
  columns: readonly DayColumn[],
  filter: string,
  order: DayOrder | null,
  units: UnitSet,
  time: TimeWords,
): readonly DayShot[] {
  const words = filter
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== "");
  const found =
    words.length === 0
      ? shots
      : shots.filter((one) => {
          const all = columns.map((column) => cellWithUnit(column, one, units, time).toLowerCase());
          return words.every((word) => all.some((cell) => cell.includes(word)));
        });
  const column = DAY_COLUMNS.find(({ id }) => id === order?.by);
  if (order === null || column === undefined) return found;
  const sign = order.down ? -1 : 1;
  return [...found].sort((a, b) => {
    const [p, q] = [rank(column, a), rank(column, b)];
    if (p === null || q === null) return p === q ? 0 : p === null ? 1 : -1;
    return typeof p === "string" || typeof q === "string"
      ? sign * String(p).localeCompare(String(q), "en", { numeric: true })
      : sign * (p - q);
  });
}

/** What a column sorts a shot by; null when it has nothing there. */
function rank(column: DayColumn, one: DayShot): number | string | null {
  if (column.holds === "measured") return column.of(one)?.value ?? null;
  const of = column.of(one);
  return of === "" ? null : of;
}

/** The table as tab-separated text in the person's units, for a letter or a log book. */
export function dayText(
  shots: readonly DayShot[],
  columns: readonly DayColumn[],
  units: UnitSet,
  time: TimeWords,
): string {
  const rows = shots.map((one) => columns.map((column) => cellText(column, one, units, time)));
  const head = columns.map((column) => headOf(column, units));
  return [head, ...rows].map((row) => row.map((cell) => cell.replace(/\s+/g, " ")).join("\t")).join("\n");
}

/** The table as CSV, SI: each measured value and its u in columns of their own, instants as ISO 8601. */
export function dayCsv(shots: readonly DayShot[], columns: readonly DayColumn[]): string {
  const header = columns.flatMap(({ holds, file }) => (holds === "measured" ? [file, `u_${file}`] : [file]));
  return csvText(
    header,
    shots.map((one) => columns.flatMap((column) => fileCells(column, one))),
  );
}

function fileCells(column: DayColumn, one: DayShot): readonly Cell[] {
  switch (column.holds) {
    case "text":
      return [column.of(one)];
    case "time": {
      const ms = column.of(one);
      return [ms === null ? null : new Date(ms).toISOString()];
    }
    case "measured": {
      const value = column.of(one);
      return value === null ? [null, null] : [value.value, value.u];
    }
  }
}
