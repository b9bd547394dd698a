import { boundedText } from "./bounded-text.ts";
import type { FaultCode } from "./fault-codes.ts";

/** The headings under which a session is filled in and its results are read, in their order. */
export const HEADINGS = [
  "clip",
  "clock",
  "scale",
  "marks",
  "motion",
  "model",
  "verdict",
  "tuning",
  "next-shot",
] as const;
export type Heading = (typeof HEADINGS)[number];

/** Where a notice is read: under a heading of the ledger, or in the camera planner, which has none. */
export type About = Heading | "plan";

/**
 * Places within a heading that have notices of their own. "sentence": the sentence beside the heading says it
 * already, so that the ledger does not say it twice. The others are groups of fields or of results, named for
 * what they hold.
 */
export const BESIDES = [
  "sentence",
  "swapped",
  "movement",
  "parts",
  "pressure",
  "end-stop",
  "fill",
  "motors",
  "pull",
  "line-loads",
  "tables",
  "boost",
  "altimeter",
  "flight",
] as const;
export type Beside = (typeof BESIDES)[number];

/**
 * The place of a notice: its heading, and what it stands beside where it has a place of its own under that
 * heading.
 */
export interface Place {
  readonly about: About;
  readonly beside?: Beside;
}

/**
 * Something a person should know: what is wrong or doubtful (`cause`) and what to do about it (`remedy`).
 * "danger" is only for danger and loss; "refusal" means a result could not be given.
 * Notices are made by catalogues (`notice-catalogue.ts`), which give each its code and place.
 */
export interface Notice<Code extends string> extends Place {
  readonly level: "note" | "warning" | "refusal" | "danger";
  readonly code: Code;
  readonly cause: string;
  readonly remedy: string;
  /** The field of the document that it speaks of, where it speaks of one: "shots[0].clock.captureRateHz". */
  readonly path?: string;
}

/** How grave a level is, to compare and to order by. */
export const GRAVITY: Readonly<Record<Notice<string>["level"], number>> = {
  danger: 3,
  refusal: 2,
  warning: 1,
  note: 0,
};

/** Dangers before refusals before warnings before notes, else in their order. */
export function gravestFirst<N extends Notice<string>>(notices: readonly N[]): readonly N[] {
  return notices.toSorted((a, b) => GRAVITY[b.level] - GRAVITY[a.level]);
}

/** A failure as a value: `code` for programs, `cause` and `remedy` for people, in plain sentences. */
export interface Fault<Code extends FaultCode = FaultCode> {
  readonly code: Code;
  readonly cause: string;
  readonly remedy: string;
}

/** What a notice says, as a fault. */
export function asFault<Code extends FaultCode>({ code, cause, remedy }: Notice<Code>): Fault<Code> {
  return { code, cause, remedy };
}

/** A fault with texts that a person can be shown, whatever they quote. */
export function boundedFault({ code, cause, remedy }: Fault): Fault {
  return { code, cause: boundedText(cause), remedy: boundedText(remedy) };
}

/**
 * The exception that carries a fault across await and module borders; hosts print the fault, never the stack.
 * Its texts are bounded, because they may quote what a file or a program said.
 */
export class FaultError extends Error {
  readonly fault: Fault;
  constructor(code: FaultCode, cause: string, remedy: string) {
    const fault = boundedFault({ code, cause, remedy });
    super(`${fault.cause} ${fault.remedy}`);
    this.name = "FaultError";
    this.fault = fault;
  }
}
