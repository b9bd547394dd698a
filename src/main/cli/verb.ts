import type { ParseArgsConfig } from "node:util";
import type { Progress } from "../media/media.ts";

/** Where a verb reads from and writes to: the process in a terminal, strings in a test. */
export interface Terminal {
  /** Writes to standard output: results, and nothing else. */
  out(text: string): void;
  /** Writes to standard error: what went wrong, and progress. */
  err(text: string): void;
  /** True when standard error is a terminal, where a line of progress may be rewritten. */
  readonly showsProgress: boolean;
  readonly cwd: string;
  /** Aborted when the person presses Ctrl-C. */
  readonly signal: AbortSignal;
}

export interface VerbCall {
  /** Arguments that are no options, in order. */
  readonly operands: readonly string[];
  readonly options: Readonly<Record<string, string | boolean | undefined>>;
  readonly json: boolean;
  readonly terminal: Terminal;
  readonly onProgress: (progress: Progress) => void;
}

export interface Verb {
  readonly name: string;
  /** What follows the name, e.g. "FOLDER [--out DIR]". */
  readonly usage: string;
  /** One sentence for the list of verbs. */
  readonly summary: string;
  /** Lines that explain the options, for --help. */
  readonly details: readonly string[];
  /** Fewest and most operands. */
  readonly operands: readonly [number, number];
  readonly options: NonNullable<ParseArgsConfig["options"]>;
  /**
   * Does the work and writes the result.
   * @returns the exit status: 0 when done, 1 when it could not be done and why has been written
   * @throws FaultError when it could not be done; UsageError when the arguments do not fit
   */
  run(call: VerbCall): Promise<number>;
}

/** The arguments do not fit: the caller shows how the verb is used and exits with 2. */
export class UsageError extends Error {}

/** Writes a bug with its stack to standard error, for a report. */
export function tellBug(terminal: Pick<Terminal, "err">, bug: unknown): void {
  terminal.err(`${bug instanceof Error ? bug.stack : bug}\n`);
}
