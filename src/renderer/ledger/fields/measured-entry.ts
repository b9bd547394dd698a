import type { EntryUnit } from "../../../shared/inputs/entry-unit.ts";
import type { Input } from "../../../shared/inputs/input.ts";
import type { UnitSet } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import { inputSays } from "./input-says.ts";

/** What values a field takes, in SI. */
export type EntryRule = "any" | "positive" | "not-negative";

/** What a person typed, exactly as typed. */
export interface Typed {
  readonly value: string;
  readonly u: string;
}

export type Entry =
  | { readonly kind: "measured"; readonly measured: Measured; readonly odd?: string }
  | { readonly kind: "empty" }
  | { readonly kind: "unfinished"; readonly cause: string; readonly remedy: string }
  | { readonly kind: "wrong"; readonly cause: string; readonly remedy: string };

/**
 * Reads a value and its standard uncertainty as typed. A value pasted as "1200 ± 1" fills both. Digits may have a decimal
 * comma. "unfinished" says what is still to be typed, "wrong" what cannot stand; both with a remedy.
 */
export function readEntry(typed: Typed, unit: EntryUnit, rule: EntryRule, uPositive = false): Entry {
  const { value, u } = split(typed);
  if (value.trim() === "" && u.trim() === "") return { kind: "empty" };
  const shownValue = numberOf(value);
  const shownU = numberOf(u);
  if (value.trim() === "") return unfinished("The value is missing.", "Type it before the ±.");
  if (shownValue === null)
    return wrong(`“${value.trim()}” is not a number.`, "Type digits, such as 1200 or 0.82.");
  const si = (shownValue - unit.offset) / unit.factor;
  const breach = breachOf(si, rule);
  if (breach !== null) return breach;
  if (u.trim() === "") {
    return unfinished(
      "Its standard uncertainty is missing.",
      "Type it after the ±; a bound you trust, divided by 1.7, is one.",
    );
  }
  if (shownU === null) return wrong(`“${u.trim()}” is not a number.`, "Type digits, such as 1 or 0.05.");
  if (shownU < 0) return wrong("An uncertainty is never below zero.", "Type it without the minus sign.");
  if (uPositive && shownU === 0)
    return wrong("No value here is exact.", "Enter an uncertainty greater than 0.");
  return { kind: "measured", measured: { value: si, u: shownU / unit.factor } };
}

/** An entry held against the ranges of its input: what cannot be is wrong, what is odd may stand and says so. */
export function withinRanges(entry: Entry, input: Input | null, set: UnitSet): Entry {
  if (entry.kind !== "measured" || input === null) return entry;
  const says = inputSays(input, entry.measured.value, entry.measured.u, set);
  if (says === null) return entry;
  return says.state === "impossible"
    ? wrong(says.text, "Type what was measured.")
    : { ...entry, odd: says.text };
}

/**
 * A measured value as text in its unit; empty for null. u to three digits and the value to the same place: what is cut
 * is below a hundredth of u, and stays in the document until the field is typed in.
 */
export function typedOf(measured: Measured | null, unit: EntryUnit): Typed {
  if (measured === null) return { value: "", u: "" };
  const u = Math.abs(measured.u * unit.factor);
  const value = measured.value * unit.factor + unit.offset;
  if (u === 0) return { value: digits(value), u: "0" };
  const places = 2 - Math.floor(Math.log10(u));
  const step = 10 ** -places;
  return { value: digits(Math.round(value / step) * step), u: digits(Number(u.toPrecision(3))) };
}

/** Whether both read the same in the field. */
export function sameMeasured(a: Measured | null, b: Measured | null, unit: EntryUnit): boolean {
  const [x, y] = [typedOf(a, unit), typedOf(b, unit)];
  return x.value === y.value && x.u === y.u;
}

/** Reads a number with a decimal point or comma; null when it is none. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace("−", "-");
  const dotted = plain.includes(".") ? plain : plain.replace(",", ".");
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(dotted)) return null;
  const number = Number(dotted);
  return Number.isFinite(number) ? number : null;
}

function split(typed: Typed): Typed {
  const parts = typed.value.split("±");
  return parts.length === 2 && typed.u.trim() === "" ? { value: parts[0]!, u: parts[1]! } : typed;
}

function breachOf(si: number, rule: EntryRule): Entry | null {
  if (rule === "positive" && !(si > 0)) return wrong("It must be above zero.", "Type what was measured.");
  if (rule === "not-negative" && si < 0) return wrong("It cannot be below zero.", "Type zero or more.");
  return null;
}

function wrong(cause: string, remedy: string): Entry {
  return { kind: "wrong", cause, remedy };
}

function unfinished(cause: string, remedy: string): Entry {
  return { kind: "unfinished", cause, remedy };
}

function digits(x: number): string {
  return String(Number(x.toPrecision(10)));
}
