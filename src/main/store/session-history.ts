import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { afterSteps, type JournalStep } from "../../shared/session/journal.ts";
import { openSession } from "../../shared/session/open-session.ts";
import { SESSION_VERSION, type Session } from "../../shared/session/schema.ts";
import { listSegments, readSegment, type Segment } from "./journal-file.ts";
import { momentId, revisionOfEnd, stepsOf } from "./session-state.ts";

const MOST_MOMENTS = 2000; // what one list shows; more are not looked through

/** One state of the session in its history. */
export interface Moment {
  /** Names the state after the step. */
  readonly id: string;
  readonly at: string;
  readonly kind: JournalStep["kind"] | "outside";
  readonly says: string;
  readonly place: JournalStep["place"];
}

/** The steps in the journal, the newest first, as far as one list shows. */
export async function momentsOf(folder: string): Promise<readonly Moment[]> {
  const moments: Moment[] = [];
  for (const name of [...(await listSegments(folder))].reverse()) {
    const segment = await readSegment(folder, name);
    if (segment === null) continue;
    moments.push(...momentsIn(segment).reverse());
    if (moments.length >= MOST_MOMENTS) break;
  }
  return moments.slice(0, MOST_MOMENTS);
}

function momentsIn(segment: Segment): Moment[] {
  const { head, lines } = segment;
  const steps = stepsOf(lines).map(({ at, kind, says, place }, i) => ({
    ...{ id: momentId(segment, i + 1), at, kind, says, place },
  }));
  const begun = { id: momentId(segment, 0), at: head.at, place: NOWHERE };
  if (head.why === "outside") {
    return [{ ...begun, kind: "outside", says: "Another program changed loftmark.json" }, ...steps];
  }
  if (head.why === "begun")
    return [{ ...begun, kind: "do", says: "The session as it was first opened" }, ...steps];
  return steps;
}

const NOWHERE = { shotId: null, frame: null, heading: null } as const;

/**
 * The session as it was at a moment.
 * @throws FaultError "no-such-moment" when the journal does not reach back to it
 */
export async function stateAt(folder: string, id: string): Promise<Session> {
  const match = /^(\d{6})-(\d{1,9})$/.exec(id);
  const segment = match === null ? null : await readSegment(folder, `${match[1]}.jsonl`);
  const steps = segment === null ? [] : stepsOf(segment.lines);
  const count = Number(match?.[2]);
  if (segment === null || count > steps.length) throw noSuchMoment();
  const document = afterSteps(segment.head.session as unknown as Session, steps.slice(0, count));
  const opened = openSession(document);
  if (!opened.ok) throw new FaultError(opened.fault.code, opened.fault.cause, opened.fault.remedy);
  return opened.session;
}

/** The steps that lead to the session's last state, for a window that opens it: what can be undone. */
export interface UndoSteps {
  readonly from: Session;
  readonly steps: readonly JournalStep[];
  /** Of the session after the last step. */
  readonly revision: string;
}

/** @returns null when there is no journal, or when its steps are of an older form of the document */
export async function undoSteps(folder: string): Promise<UndoSteps | null> {
  const names = await listSegments(folder);
  const last = names.at(-1);
  const segment = last === undefined ? null : await readSegment(folder, last);
  if (segment === null || segment.head.session.version !== SESSION_VERSION) return null;
  const earlier = names.at(-2);
  // A segment that began because the one before was full goes on where that one ended.
  const before =
    segment.head.why === "full" && earlier !== undefined ? await readSegment(folder, earlier) : null;
  const both = before?.head.session.version === SESSION_VERSION ? [before, segment] : [segment];
  return {
    from: elementAt(both, 0).head.session as unknown as Session,
    steps: both.flatMap(({ lines }) => stepsOf(lines)),
    revision: revisionOfEnd(segment),
  };
}

function noSuchMoment(): FaultError {
  return new FaultError(
    "no-such-moment",
    "The history of this session does not reach back to that moment.",
    "Choose a later one from the list.",
  );
}
