import type { Measured } from "../quantity/measured.ts";
import type { EntryKind } from "./entry-unit.ts";
import { type Input, type LauncherKind, PRACTICE, type Range } from "./input.ts";

/**
 * One measured number of a launcher, by its key there. The document's schema, the form and the
 * first guess are made from it.
 */
export interface LauncherRow {
  readonly kind: EntryKind;
  readonly label: string;
  /** As Input.words. */
  readonly words: string;
  /** What it is, with its SI unit, for who reads the document itself. */
  readonly about: string;
  /** What its value must be for the document to be read at all. */
  readonly value: "above-zero" | "zero-or-more" | "any";
  readonly possible: Range;
  readonly plausible: Range;
  /** As Input.source; common practice when left out. */
  readonly source?: string;
  /** What to know when typing it. */
  readonly hint?: string;
  /**
   * What a launcher that is to be overwritten begins with. An input without a guess may
   * be left out of a launcher.
   */
  readonly guess?: Measured;
}

/** Rows that stand together in the document and in the form. */
export type LauncherRows = Readonly<Record<string, LauncherRow>>;

/** Keys of the rows that every launcher of the kind has. */
export type GuessedKey<R extends LauncherRows> = {
  [K in keyof R]: R[K] extends { readonly guess: Measured } ? K : never;
}[keyof R];

/** The rows as inputs of a kind of launcher. @param tunable as Input.tunable */
export function launcherInputs(of: LauncherKind, rows: LauncherRows, tunable: boolean): readonly Input[] {
  return Object.entries(rows).map(
    ([key, { kind, label, words, possible, plausible, source = PRACTICE }]) => ({
      path: `launcher.${key}`,
      of,
      form: "measured",
      kind,
      heading: "model",
      label,
      words,
      tunable,
      possible,
      plausible,
      source,
    }),
  );
}

/** The first guesses of the rows that have one. */
export function guessesOf<R extends LauncherRows>(rows: R): { readonly [K in GuessedKey<R>]: Measured } {
  const guessed = Object.entries(rows).flatMap(([key, { guess }]) =>
    guess === undefined ? [] : [[key, { ...guess }]],
  );
  return Object.fromEntries(guessed);
}

/** A guess whose u is a share of it: wide enough that whatever is made with it is seen to be a guess. */
export function guess(value: number, share = 0.33): Measured {
  return { value, u: value * share };
}
