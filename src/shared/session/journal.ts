import { z } from "zod";
import { HEADINGS } from "../quantity/notice.ts";
import { noteInHistory } from "./clip-edits.ts";
import { done, type History, joined, redone, undone } from "./history.ts";
import { notedClip } from "./noted-clips.ts";
import { applyPatch, type Patch, sameJson } from "./patch.ts";
import type { Session } from "./schema.ts";

/*
 * The journal is the list of every step made in a session. It is kept beside the document, and it is what a
 * window sends to save: the steps since the last save, never the whole document.
 */

const index = z.int().nonnegative();
const path = z.array(z.union([z.string(), index])).max(32);
const PatchOpSchema = z.union([
  z.strictObject({ at: path, set: z.unknown() }),
  z.strictObject({ at: path, drop: z.literal(true) }),
  z.strictObject({ at: path, cut: z.tuple([index, index]), put: z.array(z.unknown()) }),
]);

export const JournalStepSchema = z.strictObject({
  kind: z
    .enum(["do", "joins", "undo", "redo", "note"])
    .describe(
      "joins: more of the step before; undo and redo: a step taken back or made again; note: what the program noted of a clip, no step of undo",
    ),
  says: z.string().max(300).describe("what was done, for a person"),
  place: z
    .strictObject({
      shotId: z.string().nullable(),
      frame: z.int().nullable(),
      heading: z.enum(HEADINGS).nullable(),
    })
    .describe("where in the window it is seen"),
  at: z.iso.datetime().describe("when it was done"),
  patch: z
    .array(PatchOpSchema)
    .transform((ops) => ops as Patch)
    .describe("the changes from the document before to the one after"),
});
export type JournalStep = Readonly<z.infer<typeof JournalStepSchema>>;

/** The document after some steps. @throws RangeError when a patch does not fit */
export function afterSteps(session: Session, steps: readonly Pick<JournalStep, "patch">[]): Session {
  return steps.reduce((now, { patch }) => applyPatch(now, patch), session);
}

/**
 * The stack of undo as it stood after some steps from a state. Where a step that takes back or makes again
 * does not lead to the state that the stack has there (its beginning is no longer in the journal), it
 * counts as a step of its own.
 * @throws RangeError when a patch does not fit
 */
export function replaySteps(from: Session, steps: readonly JournalStep[]): History {
  return steps.reduce(replayStep, { past: [], present: from, future: [] });
}

function replayStep(history: History, { kind, says, place, at, patch }: JournalStep): History {
  const session = applyPatch(history.present, patch);
  if (kind === "undo" || kind === "redo") {
    const walked = kind === "undo" ? undone(history) : redone(history);
    if (walked !== history && sameJson(walked.present, session)) return walked;
  }
  if (kind === "note") {
    const noted = (session.clips ?? []).filter(({ name }) => notedClip(history.present, name) === null);
    return { ...noted.reduce(noteInHistory, history), present: session };
  }
  const words = { says, place };
  return kind === "joins" ? joined(history, session, words, at) : done(history, session, words, at);
}
