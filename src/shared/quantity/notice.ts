import { boundedText } from "./bounded-text.ts";

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

/**
 * Something a person should know: what is wrong or doubtful (`cause`) and what to do about it (`remedy`).
 * "danger" is only for danger and loss; "refusal" means a result could not be given.
 */
export interface Notice {
  readonly level: "note" | "warning" | "refusal" | "danger";
  readonly code: string;
  readonly cause: string;
  readonly remedy: string;
  /** The heading it belongs under, where that is known as it is made. */
  readonly about?: Heading;
}

/** A failure as a value: `code` for programs, `cause` and `remedy` for people, in plain sentences. */
export interface Fault {
  readonly code: string;
  readonly cause: string;
  readonly remedy: string;
}

/** A fault with texts that a person can be shown, whatever they quote. */
export function boundedFault({ code, cause, remedy }: Fault): Fault {
  return { code, cause: boundedText(cause), remedy: boundedText(remedy) };
}

/**
 * The exception that carries a fault across await and module borders; hosts print the fault, never the stack. Its texts
 * are bounded, because they may quote what a file or a program said.
 */
export class FaultError extends Error {
  readonly fault: Fault;
  constructor(code: string, cause: string, remedy: string) {
    const fault = boundedFault({ code, cause, remedy });
    super(`${fault.cause} ${fault.remedy}`);
    this.name = "FaultError";
    this.fault = fault;
  }
}
