import { FaultError } from "../../shared/quantity/notice.ts";
import { afterSteps, type JournalStep } from "../../shared/session/journal.ts";
import { type Session, SessionSchema } from "../../shared/session/schema.ts";
import { isValidChange } from "../../shared/session/valid-change.ts";
import { wordIssue } from "../../shared/session/word-issue.ts";
import { revisionAfter } from "./journal-file.ts";
import type { SessionState } from "./session-state.ts";

/** A change of the document as a step of no particular place. */
export function stepThat(says: string, patch: JournalStep["patch"]): JournalStep {
  const place = { shotId: null, frame: null, heading: null };
  return { kind: "do", says, place, at: new Date().toISOString(), patch };
}

/**
 * The steps that the session does not have yet, with the revision after each; null when it
 * does not lie on their way.
 */
export function linesFrom(
  { revision }: SessionState,
  steps: readonly JournalStep[],
  base: string,
): readonly { readonly step: JournalStep; readonly revision: string }[] | null {
  const lines: { readonly step: JournalStep; readonly revision: string }[] = [];
  for (const step of steps)
    lines.push({ step, revision: revisionAfter(lines.at(-1)?.revision ?? base, step) });
  if (revision === base) return lines;
  // Those whose acknowledgement was lost are there already; others may have been made since they were sent.
  const there = lines.findIndex((line) => line.revision === revision) + 1;
  return there === 0 ? null : lines.slice(there);
}

/** @throws FaultError "bad-steps" when the steps do not fit the session or lead to no valid document */
export function validAfter(session: Session, steps: readonly JournalStep[]): Session {
  let after: Session;
  try {
    after = afterSteps(session, steps);
  } catch (error) {
    if (error instanceof RangeError) throw badSteps("they change what is not there");
    throw error;
  }
  if (isValidChange(session, after)) return after;
  const checked = SessionSchema.safeParse(after); // for its words, and so that nothing valid is refused
  if (checked.success) return after;
  const issues = checked.error.issues.slice(0, 3).map((issue) => wordIssue(issue, after, {}));
  throw badSteps(issues.join("; "));
}

function badSteps(why: string): FaultError {
  return new FaultError(
    "bad-steps",
    `The last changes do not fit the session: ${why}.`,
    "Undo the last change, or correct the value it names.",
  );
}
