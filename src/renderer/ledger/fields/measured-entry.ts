import type { EntryUnit } from "../../../shared/inputs/entry-unit.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import {
  type Entry,
  type EntryRule,
  numberOf,
  readValue,
  type Typed,
  type Unread,
  unfinished,
  wrong,
} from "./entry.ts";

/** Typed before the half width of a range, in place of a standard uncertainty. */
export const WITHIN = "<";

/**
 * Reads a value and its standard uncertainty as typed. A value pasted as "1200 ± 1" fills both. Digits may
 * have a decimal comma. "<0.5" after the ± means that the value is trusted to within 0.5, any place inside as
 * likely as any other: its standard uncertainty is 0.5/√3 (JCGM 100:2008, 4.3.7). A value
 * alone is unfinished, and assumes what `usual` makes of it: the value, SI, with the u that is assumed where
 * nobody states one.
 */
export function readEntry(
  typed: Typed,
  unit: EntryUnit,
  rule: EntryRule,
  { uPositive = false, usual }: EntryOptions = {},
): Entry<Measured> {
  const { value, u } = split(typed);
  if (value.trim() === "" && u.trim() === "") return { kind: "empty" };
  if (value.trim() === "") return unfinished("The value is missing.", "Type it before the ±.");
  const si = readValue(value, unit, rule);
  if (typeof si !== "number") return si;
  const shownU = readUncertainty(u);
  if (typeof shownU !== "number") {
    return u.trim() === "" && usual !== undefined
      ? { ...shownU, kind: "unfinished", assumes: usual(si) }
      : shownU;
  }
  if (uPositive && shownU === 0)
    return wrong("No value here is exact.", "Enter an uncertainty greater than 0.");
  const stands = { value: si, u: shownU / unit.factor };
  return { kind: "stands", stands: typed.assumed ? { ...stands, assumed: true } : stands };
}

export interface EntryOptions {
  /** The uncertainty must be above zero too. */
  readonly uPositive?: boolean;
  readonly usual?: (si: number) => Measured;
}

/**
 * A measured value as text in its unit; empty for null. u to three digits and the value to the same place:
 * what is cut is below a hundredth of u, and stays in the document until the field is typed in.
 */
export function typedOf(measured: Measured | null, unit: EntryUnit): Typed {
  if (measured === null) return { value: "", u: "" };
  const assumed = measured.assumed ? { assumed: true as const } : {};
  const u = Math.abs(measured.u * unit.factor);
  const value = measured.value * unit.factor + unit.offset;
  if (u === 0) return { value: digits(value), u: "0" };
  const places = 2 - Math.floor(Math.log10(u));
  const step = 10 ** -places;
  return { value: digits(Math.round(value / step) * step), u: digits(Number(u.toPrecision(3))), ...assumed };
}

/** The typed ± in the field's unit, or why it cannot stand. */
function readUncertainty(text: string): number | Unread {
  const isBound = text.trim().startsWith(WITHIN);
  const number = isBound ? text.trim().slice(WITHIN.length).trim() : text.trim();
  if (number === "") {
    return isBound
      ? unfinished("The bound is missing.", `Type it after the ${WITHIN}, such as ${WITHIN}0.5.`)
      : unfinished(
          "Its standard uncertainty is missing.",
          `Type it after the ±. If you only know what it is good to within, press ± and type that: ${WITHIN}0.5 is divided by √3 for you.`,
        );
  }
  const shown = numberOf(number);
  if (shown === null) {
    return wrong(
      `“${text.trim()}” is not a number.`,
      `Type digits, such as 1 or 0.05, or a bound, such as ${WITHIN}0.5.`,
    );
  }
  if (shown < 0) return wrong("An uncertainty is never below zero.", "Type it without the minus sign.");
  return isBound ? shown / Math.sqrt(3) : shown;
}

function split(typed: Typed): Typed {
  const [value = "", u, more] = typed.value.split("±");
  return u !== undefined && more === undefined && typed.u.trim() === "" ? { value, u } : typed;
}

function digits(x: number): string {
  return String(Number(x.toPrecision(10)));
}
