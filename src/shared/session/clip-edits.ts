import type { Edit } from "./edits.ts";
import type { History, HistoryStep } from "./history.ts";
import { isUsed, type NotedClip, notedClip, withNote } from "./noted-clips.ts";
import type { Session } from "./schema.ts";

/**
 * Notes a clip that is known for the first time, in every document of the history whose shots use it: noting
 * is no step of undo, and neither undo nor redo forgets it. Documents that noted something else keep it.
 */
export function noteInHistory(history: History, clip: NotedClip): History {
  const note = (session: Session) =>
    isUsed(session, clip.name) && notedClip(session, clip.name) === null ? withNote(session, clip) : session;
  const noteIn = (step: HistoryStep): HistoryStep => ({ ...step, session: note(step.session) });
  return {
    past: history.past.map(noteIn),
    present: note(history.present),
    future: history.future.map(noteIn),
  };
}

/**
 * The edits that have every shot of one clip use another file, which was found to hold the same recording.
 * What was said of its frames stays as it is.
 */
export function editsToUse(session: Session, name: string, found: NotedClip): readonly Edit[] {
  const shots = session.shots.filter((shot) => shot.clip === name);
  return [
    ...shots.map(({ id }): Edit => ({ kind: "update-shot", shotId: id, patch: { clip: found.name } })),
    ...(shots.length === 0 ? [] : [{ kind: "note-clip", clip: found } satisfies Edit]),
  ];
}
