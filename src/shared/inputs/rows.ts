import type { Heading } from "../quantity/notice.ts";
import type { EntryKind } from "./entry-unit.ts";
import { type Input, type LauncherKind, PRACTICE, type Range } from "./input.ts";

/**
 * One row of a table: path below the table's own, unit kind, label, words, possible, plausible, and
 * the source of the latter.
 */
export type Row = readonly [
  path: string,
  kind: EntryKind,
  label: string,
  words: string,
  possible: Range,
  plausible: Range,
  source?: string,
];

/**
 * Inputs of one part of the document, all of one form and under one heading. @param tunable as Input.tunable
 */
export function inputs(
  at: string,
  form: Input["form"],
  heading: Heading,
  rows: readonly Row[],
  { of, tunable = false }: { readonly of?: LauncherKind; readonly tunable?: boolean } = {},
): readonly Input[] {
  return rows.map(([path, kind, label, words, possible, plausible, source = PRACTICE]) => ({
    path: at + path,
    of: of ?? null,
    form,
    kind,
    heading,
    label,
    words,
    tunable,
    possible,
    plausible,
    source,
  }));
}
