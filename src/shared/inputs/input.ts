import type { Heading } from "../quantity/notice.ts";
import type { EntryKind } from "./entry-unit.ts";

export const LAUNCHER_KINDS = ["compressed-air-ram", "rocket-boost", "elastic-line", "no-model"] as const;
export type LauncherKind = (typeof LAUNCHER_KINDS)[number];

/** Least and greatest value, both included, SI. */
export type Range = readonly [least: number, most: number];

/**
 * One number that a person can type into the document. Its identity is its path, within the kind of launcher
 * where it belongs to one; label and words are for people and may change.
 */
export interface Input {
  /**
   * Place in the document: "launcher.boreM", "shots[].rods[].rodM"; [] stands for every
   * entry of a list, [0] for one.
   */
  readonly path: string;
  /** The kind of launcher it belongs to; null for everything else. */
  readonly of: LauncherKind | null;
  /**
   * "measured": { value, u }; "number": a number without an uncertainty of its own; "whole": a whole number.
   */
  readonly form: "measured" | "number" | "whole";
  readonly kind: EntryKind;
  /** The heading it is typed under. */
  readonly heading: Heading;
  /** What its field is called. */
  readonly label: string;
  /**
   * The same in the middle of a sentence, with its article: "the bore"; #1 and #2 stand for
   * its place in lists, from 1.
   */
  readonly words: string;
  /** Whether the shots may tell its value: it belongs to the launcher and bears on the push. */
  readonly tunable: boolean;
  /** Outside it no such thing exists, or no model can work with it: refused. */
  readonly possible: Range;
  /** Outside it is odd enough to ask: noticed. */
  readonly plausible: Range;
  /** Where the plausible range comes from. */
  readonly source: string;
}

/** Ranges that no source gives: what is met in workshops and on fields, with room on both sides. */
export const PRACTICE = "common practice, no source";
/** Ranges remembered from data sheets or textbooks, not looked up again. */
export const MEMORY = "from memory";
