/** The headings under which a session is filled in and its results are read. */
export type Heading =
  | "clip"
  | "clock"
  | "scale"
  | "marks"
  | "motion"
  | "model"
  | "verdict"
  | "tuning"
  | "next-shot";

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

/** The exception that carries a fault across await and module borders; hosts print the fault, never the stack. */
export class FaultError extends Error {
  readonly fault: Fault;
  constructor(code: string, cause: string, remedy: string) {
    super(`${cause} ${remedy}`);
    this.name = "FaultError";
    this.fault = { code, cause, remedy };
  }
}
