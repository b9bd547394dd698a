import type { EntryUnit } from "../../../shared/inputs/entry-unit.ts";
import { type Entry, type EntryRule, readValue, type Typed } from "./entry.ts";

/** Reads one plain number, without an uncertainty, into SI. */
export function readNumber({ value }: Typed, unit: EntryUnit, rule: EntryRule): Entry<number> {
  if (value.trim() === "") return { kind: "empty" };
  const si = readValue(value, unit, rule);
  return typeof si === "number" ? { kind: "stands", stands: si } : si;
}

/** A number of the document as text in its unit, to so many significant digits; empty for null. */
export function numberText(si: number | null, unit: EntryUnit, significant: number): Typed {
  if (si === null) return { value: "", u: "" };
  return { value: String(Number((si * unit.factor + unit.offset).toPrecision(significant))), u: "" };
}
