import type { UnitSet } from "../quantity/display.ts";
import { entryUnit } from "./entry-unit.ts";
import type { Input, Range } from "./input.ts";
import { slipsOf } from "./unit-slips.ts";

/** How a number stands to its ranges. */
export interface Judged {
  readonly state: "impossible" | "odd";
  readonly part: "value" | "u";
}

/**
 * Whether a number is one that cannot be, or one that is odd enough to ask about. An uncertainty can be as
 * large as the whole possible range, and is odd when it is larger than the plausible one.
 * @returns null for a number as usual
 */
export function judgeInput({ possible, plausible }: Input, value: number, u: number | null): Judged | null {
  if (!isInside(value, possible)) return { state: "impossible", part: "value" };
  if (u !== null && !(u >= 0 && u <= span(possible))) return { state: "impossible", part: "u" };
  if (!isInside(value, plausible)) return { state: "odd", part: "value" };
  return u !== null && u > span(plausible) ? { state: "odd", part: "u" } : null;
}

/**
 * How far a number is from the middle of its plausible range, in halves of it: 1 at its ends; on a
 * logarithmic scale where it is positive.
 */
export function oddness({ plausible: [least, most], possible }: Input, value: number): number {
  if (least > 0 && value > 0) {
    const middle = Math.log(least * most) / 2;
    return Math.abs(Math.log(value) - middle) / (Math.log(most / least) / 2);
  }
  if (value === 0 && isInside(0, possible)) return 0;
  return Math.abs(value - (least + most) / 2) / ((most - least) / 2);
}

/**
 * What is said of a number outside a range, in the unit a person types it in: a sentence, and one
 * that names the likely slip.
 * @param words what the number is called; empty where that stands beside it already
 */
export function judgedWords(
  input: Input,
  { state, part }: Judged,
  value: number,
  u: number | null,
  set: UnitSet,
  words: string,
): { readonly cause: string; readonly slip: string } {
  const range = state === "impossible" ? input.possible : input.plausible;
  const impossible = words === "" ? "is not possible here" : "cannot be";
  const far = state === "impossible" ? impossible : "is far outside what is usual";
  const named = words === "" ? "" : state === "impossible" ? ` ${words}` : ` for ${words}`;
  if (part === "u") {
    const most = uText(input, span(range), set);
    const of = words === "" ? "" : ` of ${words}`;
    return {
      cause: `An uncertainty${of} of ${uText(input, u ?? Number.NaN, set)} ${far} (at most ${most}).`,
      slip: "",
    };
  }
  return {
    cause: `${valueText(input, value, set)} ${far}${named} (${rangeText(input, range, set)}).`,
    slip: slipWords(input, value, set),
  };
}

/** The words of an input found at a place of a document, its entries of lists named by their number. */
export function wordsAt({ words }: Input, path: readonly (string | number)[]): string {
  // which shot or camera is told otherwise
  const shared = path[0] === "shots" || path[0] === "cameras" ? 1 : 0;
  const places = path.filter((step) => typeof step === "number").slice(shared);
  return words.replace(/#(\d)/g, (_, n) => String((places[Number(n) - 1] ?? 0) + 1));
}

/** "Was it typed in L/min? Then it is 3 dm³/(s·bar)."; empty where no slip would explain the number. */
function slipWords(input: Input, value: number, set: UnitSet): string {
  const slips = slipsOf(input, value, set);
  if (slips.length === 0) return "";
  const units = slips.map(({ symbol }) => symbol).join(" or ");
  const values = slips.map(({ si }) => valueText(input, si, set)).join(" or ");
  return `Was it typed in ${units}? Then it is ${values}.`;
}

/** A value as its field shows it, with the unit. */
export function valueText(input: Input, si: number, set: UnitSet): string {
  if (input.kind === "per-second") return si > 0 && si < 1 ? `1/${rounded(1 / si)} s` : `${rounded(si)} s`;
  const { factor, offset, symbol } = entryUnit(input.kind, set);
  return withUnit(rounded(si * factor + offset), symbol);
}

function uText(input: Input, si: number, set: UnitSet): string {
  const { factor, symbol } = entryUnit(input.kind, set);
  return withUnit(rounded(si * factor), symbol);
}

function rangeText(input: Input, [least, most]: Range, set: UnitSet): string {
  if (input.kind === "per-second") return `${valueText(input, least, set)} to ${valueText(input, most, set)}`;
  const { factor, offset, symbol } = entryUnit(input.kind, set);
  const ends = [least, most].map((si) => rounded(si * factor + offset));
  return withUnit(ends.join(" to "), symbol);
}

function withUnit(text: string, symbol: string): string {
  return symbol === "" ? text : symbol === "°" ? `${text}°` : `${text} ${symbol}`;
}

const DIGITS = 6;

function rounded(x: number): string {
  if (!Number.isFinite(x)) return "an endless number";
  return String(Number(x.toPrecision(DIGITS))).replace("-", "−");
}

function isInside(value: number, [least, most]: Range): boolean {
  return value >= least && value <= most;
}

function span([least, most]: Range): number {
  return most - least;
}
