import type { CurveFaultCode } from "../quantity/fault-codes.ts";
import { FaultError } from "../quantity/notice.ts";
import { type ColumnHead, columnHead, secondsIn } from "./curve-units.ts";
import type { CurveSample } from "./estimate-curve.ts";

/** Which columns to take: a header's name, with or without its unit, or a number that counts from 1. */
export interface CurveColumns {
  readonly time?: string;
  readonly value?: string;
  readonly uncertainty?: string;
}

/** A record of one value against time. */
export interface CurveLog {
  /** Times in s, values in `unit`, in the order of the file. */
  readonly samples: readonly CurveSample[];
  readonly name: string;
  readonly unit: string;
  /** Columns that were taken, as the file calls them; `uncertainty` null where there is none. */
  readonly columns: { readonly time: string; readonly value: string; readonly uncertainty: string | null };
  /** Whether the file states the unit of time. */
  readonly timeUnitStated: boolean;
  /** Columns that were not used, and lines without a value. */
  readonly others: number;
  readonly empty: number;
  /** Lines at the time of the line before. */
  readonly repeated: number;
}

/** As many samples as are taken. */
export const MOST_CURVE_SAMPLES = 200_000;
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const MISSING = /^(|nan|na|n\/a)$/i;

interface Row {
  readonly line: number;
  readonly cells: readonly string[];
}

/**
 * Reads time, value and, where there is one, standard uncertainty from text: columns parted by comma,
 * semicolon or tab, a header or none. Parted by semicolon or tab, numbers may have decimal commas. Empty
 * lines and what follows a # are passed over, and so are lines whose value is missing (empty, NaN): the
 * record has a gap there.
 * @throws FaultError naming line and column, and what would do
 */
export function readCurveCsv(text: string, wanted: CurveColumns = {}): CurveLog {
  const { rows, decimal } = rowsOf(text);
  const [top] = rows as [Row];
  const headed = top.cells.every((cell) => !NUMBER.test(decimal(cell)));
  const heads = top.cells.map((cell, i) =>
    headed ? columnHead(cell) : { name: `column ${i + 1}`, unit: "" },
  );
  const columns = chosenColumns(heads, wanted);
  const body = headed ? rows.slice(1) : rows;
  if (body.length > MOST_CURVE_SAMPLES) {
    throw fault("long", `The file has ${body.length} lines.`, `Thin it to ${MOST_CURVE_SAMPLES} or fewer.`);
  }
  mustBeOneUnit(heads, columns);
  const [timeHead, valueHead] = [heads[columns.time], heads[columns.value]] as [ColumnHead, ColumnHead];
  const { uncertainty } = columns;
  return {
    ...samplesOf(body, heads, columns, secondsOf(timeHead), decimal),
    name: valueHead.name === "" ? `column ${columns.value + 1}` : valueHead.name,
    unit: valueHead.unit,
    columns: {
      time: timeHead.name,
      value: valueHead.name,
      uncertainty: uncertainty === null ? null : (heads[uncertainty]?.name ?? null),
    },
    timeUnitStated: timeHead.unit !== "",
    others: heads.length - (uncertainty === null ? 2 : 3),
  };
}

/** The lines that hold something, in cells, and how a cell becomes a number with a decimal point. */
function rowsOf(text: string): { readonly rows: readonly Row[]; readonly decimal: (cell: string) => string } {
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/);
  const first = lines.find((line) => withoutComment(line) !== "");
  if (first === undefined) throw fault("empty", "The file holds no lines.", TWO_COLUMNS);
  const separator = /;/.test(first) ? ";" : /\t/.test(first) ? "\t" : ",";
  const rows = lines.flatMap((line, i): readonly Row[] => {
    const bare = withoutComment(line);
    return bare === "" ? [] : [{ line: i + 1, cells: cellsOf(bare, separator) }];
  });
  return { rows, decimal: separator === "," ? (cell) => cell : (cell) => cell.replace(",", ".") };
}

function secondsOf({ name, unit }: ColumnHead): number {
  const seconds = secondsIn(unit);
  if (seconds !== null) return seconds;
  throw fault(
    "unit",
    `The column “${name}” has “${unit}” for its unit, which is none of time.`,
    "Write s, ms, us, min or h in its header, or choose the column of time with --time.",
  );
}

function samplesOf(
  body: readonly Row[],
  heads: readonly ColumnHead[],
  columns: Chosen,
  seconds: number,
  decimal: (cell: string) => string,
): Pick<CurveLog, "samples" | "empty" | "repeated"> {
  const numberAt = (row: Row, column: number) => numberIn(row, column, heads, decimal);
  const samples: CurveSample[] = [];
  let [empty, repeated] = [0, 0];
  let last: { readonly time: number; readonly line: number } | null = null;
  for (const row of body) {
    if (MISSING.test(row.cells[columns.value] ?? "")) {
      empty++;
      continue;
    }
    const time = seconds * numberAt(row, columns.time);
    if (last !== null && time < last.time) {
      throw fault(
        "order",
        `Line ${row.line} is at ${row.cells[columns.time]} in column ${columns.time + 1} (“${heads[columns.time]?.name}”), before line ${last.line}.`,
        "Put the lines in order of time; where a logger began again, keep one of its runs.",
      );
    }
    if (last !== null && time === last.time) repeated++;
    last = { time, line: row.line };
    const value = numberAt(row, columns.value);
    if (columns.uncertainty === null) samples.push({ time, value });
    else {
      const u = numberAt(row, columns.uncertainty);
      mustBeUncertainty(row, columns.uncertainty, u);
      samples.push({ time, value, u });
    }
  }
  return { samples, empty, repeated };
}

function numberIn(
  { line, cells }: Row,
  column: number,
  heads: readonly ColumnHead[],
  decimal: (cell: string) => string,
): number {
  const cell = cells[column] ?? "";
  const value = NUMBER.test(decimal(cell)) ? Number(decimal(cell)) : Number.NaN;
  if (Number.isFinite(value)) return value;
  const name = heads[column]?.name ?? "";
  throw fault(
    "number",
    `Line ${line} has “${cell.slice(0, 40)}” in column ${column + 1} (“${name}”), which is not a number.`,
    "Write numbers such as 0.25 or 1.2e-3; with decimal commas, part the columns by semicolons.",
  );
}

const TWO_COLUMNS = "Write time and value in two columns, parted by a comma: 0.25,3.1.";

interface Chosen {
  readonly time: number;
  readonly value: number;
  readonly uncertainty: number | null;
}

/** Those asked for; else time by its name or the first, u by its name, the first other for the value. */
function chosenColumns(heads: readonly ColumnHead[], wanted: CurveColumns): Chosen {
  if (heads.length < 2) {
    throw fault("columns", "The file has one column.", `${TWO_COLUMNS} A semicolon or a tab will do too.`);
  }
  const asked = (name: string | undefined) => (name === undefined ? null : columnNamed(heads, name));
  const [time, value, uncertainty] = [asked(wanted.time), asked(wanted.value), asked(wanted.uncertainty)];
  const named = (pattern: RegExp, taken: readonly (number | null)[]) => {
    const at = heads.findIndex(({ name }, i) => pattern.test(name) && !taken.includes(i));
    return at < 0 ? null : at;
  };
  const t = time ?? named(/^(t|time|elapsed)\b/i, [value, uncertainty]) ?? (value === 0 ? 1 : 0);
  const u = uncertainty ?? named(/^(u|uncertainty|standard uncertainty|sd|sigma)(\b|_)/i, [t, value]);
  const v = value ?? heads.findIndex((_, i) => i !== t && i !== u);
  if (v < 0 || v === t || v === u || t === u) {
    throw fault(
      "columns",
      "Time, value and uncertainty need a column each.",
      `Choose others; there are ${namesOf(heads)}.`,
    );
  }
  return { time: t, value: v, uncertainty: u };
}

function columnNamed(heads: readonly ColumnHead[], asked: string): number {
  const plain = (text: string) => text.trim().toLowerCase();
  const byName = heads.findIndex(({ name, unit }) =>
    [name, `${name} (${unit})`, `${name} [${unit}]`, `${name}_${unit}`].some(
      (one) => plain(one) === plain(asked),
    ),
  );
  const at = byName < 0 && /^\d+$/.test(asked) ? Number(asked) - 1 : byName;
  if (at >= 0 && at < heads.length) return at;
  throw fault("column", `The file has no column “${asked}”.`, `Its columns are ${namesOf(heads)}.`);
}

function namesOf(heads: readonly ColumnHead[]): string {
  return heads.map(({ name }, i) => `${i + 1} “${name}”`).join(", ");
}

function mustBeOneUnit(heads: readonly ColumnHead[], { value, uncertainty }: Chosen): void {
  const [of, own] = [heads[value]?.unit ?? "", uncertainty === null ? "" : (heads[uncertainty]?.unit ?? "")];
  if (own === "" || own === of) return;
  throw fault(
    "unit",
    `The uncertainty is in ${own} and the value in ${of === "" ? "no unit" : of}.`,
    "State both in one unit.",
  );
}

function mustBeUncertainty({ line, cells }: Row, column: number, u: number): void {
  if (u > 0) return;
  throw fault(
    "uncertainty",
    `Line ${line} has “${cells[column]}” for its uncertainty in column ${column + 1}.`,
    "State a standard uncertainty above 0, or leave that column out: it is then found from the scatter.",
  );
}

function withoutComment(line: string): string {
  return line.replace(/#.*$/, "").trim();
}

/** Cells of a line; a cell in double quotes may hold the separator. */
function cellsOf(line: string, separator: string): readonly string[] {
  const cells: string[] = [];
  let [cell, quoted] = ["", false];
  for (const sign of line) {
    if (sign === '"') quoted = !quoted;
    else if (sign === separator && !quoted) {
      cells.push(cell.trim());
      cell = "";
    } else cell += sign;
  }
  return [...cells, cell.trim()];
}

type Code = CurveFaultCode extends `curve-${infer Rest}` ? Rest : never;

function fault(code: Code, cause: string, remedy: string): FaultError {
  return new FaultError(`curve-${code}`, cause, remedy);
}
