import type { SessionReply } from "../../shared/api/contract.ts";
import type { WindowDocument } from "../../shared/api/job-contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import { noteInHistory } from "../../shared/session/clip-edits.ts";
import { type EditPlace, type EditWords, wordsOfEdit } from "../../shared/session/edit-words.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import { done, type History, joined, redone, startHistory, undone } from "../../shared/session/history.ts";
import { type JournalStep, replaySteps } from "../../shared/session/journal.ts";
import type { NotedClip } from "../../shared/session/noted-clips.ts";
import { patchBetween, sameJson } from "../../shared/session/patch.ts";
import type { Session } from "../../shared/session/schema.ts";
import { type AppState, type Offer, sessionOf } from "../app-state/app-state.ts";
import type { Service } from "../host/service.ts";
import { type Autosave, createAutosave, faultOf } from "../saving/autosave.ts";
import type { UnsavedNotes } from "../saving/unsaved-notes.ts";
import type { Store } from "../store/store.ts";
import { createEarlierStates } from "./earlier-states.ts";

const SAVE_AFTER_MS = 600;
const RETRY_MS = 5000;
const NOWHERE: EditPlace = { shotId: null, frame: null, heading: null };

/** A step as it waits to be saved: what it changes is worked out when it is sent. */
interface MadeStep extends EditWords {
  readonly kind: JournalStep["kind"];
  readonly at: string;
  readonly before: Session;
  readonly after: Session;
}

export interface DocumentParts {
  readonly store: Store<AppState>;
  readonly service: Service;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly unsaved: UnsavedNotes;
  readonly now: () => Date;
  /** Told of every new state of the document in the window, also of one that is only looked at. */
  readonly onDocument: (before: Session, after: Session) => void;
  readonly onFault: (fault: Fault) => void;
}

/** The document in the window: edits, undo and saving; earlier states are looked at through it. */
export type DocumentActions = ReturnType<typeof createDocument>;

export function createDocument(parts: DocumentParts) {
  const { store, service, later, unsaved, now, onDocument, onFault } = parts;
  const get = store.get;
  const patch = (part: Partial<AppState>) => store.set({ ...get(), ...part });
  const timeNow = () => now().toISOString();
  let autosave: Autosave<MadeStep> | null = null;
  let folder = "";
  let coalescing: string | null = null;
  let visiting: string | null = null;

  const states = createEarlierStates({
    store,
    service,
    unsaved,
    timeNow,
    onFault,
    show: (history) => show(history, null),
    take: (session, says) => makeEdited(session, { says, place: NOWHERE }, false),
  });
  const { ownHistory, endPeek } = states;

  /** Puts another state of the document in the window. */
  function show(history: History, walked: AppState["walked"]): void {
    const before = sessionOf(get());
    patch({ history, walked });
    if (history.present !== before) onDocument(before, history.present);
  }

  /** Takes a new state as made by the person: it is saved. */
  function make(history: History, kind: JournalStep["kind"], words: EditWords): void {
    const before = sessionOf(get());
    if (history.present === before) return;
    const walks = kind === "undo" || kind === "redo";
    show(history, walks ? words : null);
    autosave?.made({ ...words, kind, at: timeNow(), before, after: history.present });
  }

  /** Whether edits are refused because an earlier state is being looked at; says so. */
  function onlyLooking(): boolean {
    if (get().peek === null) return false;
    onFault({
      code: "only-looking",
      cause: "You are looking at an earlier state of the session, so nothing was changed.",
      remedy: "Go back to that state, or return to the present one; then change it.",
    });
    return true;
  }

  /** Applies an edit as one undoable step; edits in a row with the same key are one step together. */
  function change(edit: Edit, key: string | null = null): void {
    const { history } = get();
    const joins = isMoreOf(key ?? visiting);
    makeEdited(applyEdit(history.present, edit), wordsOfEdit(edit, history.present), joins);
  }

  /** Whether an edit with this key belongs to the step before; the next one is held against this key. */
  function isMoreOf(key: string | null): boolean {
    const joins = key !== null && key === coalescing && get().history.past.length > 0;
    coalescing = key;
    return joins;
  }

  /**
   * Edits made in one visit to a field are one step together, with whatever comes
   * between them but other edits.
   */
  function duringVisit(visit: string, edit: () => void): void {
    visiting = visit;
    try {
      edit();
    } finally {
      visiting = null;
    }
  }

  function makeEdited(session: Session, words: EditWords, joins: boolean): void {
    if (onlyLooking()) return;
    const { history } = get();
    if (joins) make(joined(history, session, words, timeNow()), "joins", words);
    else make(done(history, session, words, timeNow()), "do", words);
  }

  /** Several edits as one step, said as the first of them unless other words are given. */
  function changeAll(edits: readonly Edit[], says?: string): void {
    const [first] = edits;
    if (first === undefined) return;
    const { present } = get().history;
    const words = wordsOfEdit(first, present);
    makeEdited(
      edits.reduce(applyEdit, present),
      says === undefined ? words : { ...words, says },
      isMoreOf(visiting),
    );
  }

  function walk(kind: "undo" | "redo"): void {
    if (onlyLooking()) return;
    coalescing = null;
    const { history } = get();
    const step = kind === "undo" ? history.past.at(-1) : history.future[0];
    if (step === undefined) return;
    const says = `${kind === "undo" ? "Undid" : "Redid"}: ${step.says}`;
    make(kind === "undo" ? undone(history) : redone(history), kind, { says, place: step.place });
  }

  function saving(revision: string): Autosave<MadeStep> {
    return createAutosave(revision, {
      save: (steps, base, leaving) => service.saveSteps(steps.map(journalStep), base, leaving),
      join: (first, second) =>
        second.kind === "joins" && (first.kind === "do" || first.kind === "joins")
          ? { ...first, after: second.after }
          : null,
      onState: (save) => {
        if (save.status === "saved") unsaved.clear(folder);
        patch({ save });
        if (save.status === "conflict") void adoptIfSame();
      },
      delayMs: SAVE_AFTER_MS,
      retryMs: RETRY_MS,
      later,
    });
  }

  /**
   * The document comes from the folder.
   * @param folderKey names the folder itself, for what the browser keeps of it
   */
  function opened(reply: SessionReply, folderKey: string): void {
    folder = folderKey;
    coalescing = null;
    autosave = saving(reply.revision);
    const before: readonly Offer[] =
      reply.before === null ? [] : [{ id: reply.before, kind: "outside", moment: reply.before }];
    patch({ history: startHistory(reply.session), peek: null, walked: null, offers: before });
    void bringUndo(reply);
  }

  /**
   * What could be undone before the page was loaded can be undone again; then what a
   * closed page left is offered.
   */
  async function bringUndo(reply: SessionReply): Promise<void> {
    const undo = await service.undoSteps().catch(() => null);
    const steps = undo !== null && undo.revision === reply.revision ? undo.steps : [];
    if (undo !== null && steps.length > 0) {
      const before = replaySteps(undo.from, steps);
      const { history, peek } = get();
      const whole = (now: History): History => ({
        ...now,
        past: [...before.past, ...now.past],
        future: now.past.length === 0 && now.future.length === 0 ? before.future : now.future,
      });
      if (peek === null) patch({ history: whole(history) });
      else patch({ peek: { ...peek, kept: whole(peek.kept) } });
    }
    patch({ offers: [...states.unsavedOffers(folder, reply, steps), ...get().offers] });
  }

  /** Notes what a clip holds: saved with the document, but no step of undo. */
  function noteClip(clip: NotedClip): void {
    const { peek, history } = get();
    const before = ownHistory();
    const after = noteInHistory(before, clip);
    if (peek === null) patch({ history: after });
    else patch({ history: noteInHistory(history, clip), peek: { ...peek, kept: after } });
    // Where nothing can be saved, a note of the program's own is no reason to say so.
    if (after.present === before.present || get().access === "read-only") return;
    const words = wordsOfEdit({ kind: "note-clip", clip }, before.present);
    autosave?.made({
      ...words,
      kind: "note",
      at: timeNow(),
      before: before.present,
      after: after.present,
    });
  }

  /**
   * A save that reached the folder though its answer did not reach us is no conflict; nor
   * is what only notes clips.
   */
  async function adoptIfSame(): Promise<void> {
    const reply = await service.session().catch(() => null);
    if (reply === null) return; // the conflict stays on screen, and with it the choice
    const [{ clips: theirs, ...saved }, { clips: _ours, ...mine }] = [reply.session, ownHistory().present];
    if (!sameJson(saved, mine)) return;
    for (const clip of theirs ?? []) noteClip(clip);
    const after = ownHistory().present;
    const note = { says: "Noted the content of clips", place: NOWHERE, kind: "note", at: timeNow() } as const;
    const steps = sameJson(reply.session, after) ? [] : [{ ...note, before: reply.session, after }];
    autosave?.rebase(reply.revision, steps);
  }

  /** Settles a conflict: the folder's version or ours, and the other one is a step of undo away. */
  async function settleConflict(keep: "mine" | "theirs"): Promise<void> {
    try {
      endPeek();
      const reply = await service.session();
      const { history } = get();
      const mine = history.present;
      const at = timeNow();
      if (keep === "theirs") {
        const words = { says: "Took the folder's version", place: NOWHERE };
        show(done(history, reply.session, words, at), null);
        autosave?.rebase(reply.revision, []); // says "saved", which only the folder's version is
      } else {
        const words = { says: "Kept this window's version", place: NOWHERE };
        patch({ history: done({ ...history, present: reply.session }, mine, words, at) });
        autosave?.rebase(reply.revision, [{ ...words, kind: "do", at, before: reply.session, after: mine }]);
      }
      await autosave?.flush();
    } catch (error) {
      onFault(faultOf(error));
    }
  }

  /** Notes in the browser what is not saved. @returns whether it is safe: in the folder or in the note */
  function keepUnsaved(): boolean {
    const steps = autosave?.unsaved() ?? [];
    if (autosave === null || steps.length === 0) return true;
    return unsaved.keep(folder, {
      baseRevision: autosave.revision(),
      steps: steps.map(journalStep),
      session: ownHistory().present,
    });
  }

  return {
    opened,
    change,
    noteClip,
    changeAll,
    duringVisit,
    undo: () => walk("undo"),
    redo: () => walk("redo"),
    settleConflict,
    lookAt: states.lookAt,
    lookAtOffer: states.lookAtOffer,
    endPeek,
    takePeek: states.takePeek,
    dropOffer: states.dropOffer,
    /** The page goes away: what is not saved is sent now, and kept in the browser in case that fails. */
    async leave(): Promise<void> {
      if (autosave === null || autosave.unsaved().length === 0) return;
      keepUnsaved();
      await autosave.flush(true);
    },
    keepUnsaved,
    saveNow: () => autosave?.flush() ?? Promise.resolve(),
    /** The present state as it is named to the service; where it cannot be saved, by the steps that wait. */
    async named(): Promise<WindowDocument> {
      if (autosave === null) throw new RangeError("document: none is open");
      await autosave.flush(); // so that no save is on its way, and few steps wait
      return { revision: autosave.revision(), steps: autosave.unsaved().map(journalStep) };
    },
  };
}

function journalStep({ kind, says, place, at, before, after }: MadeStep): JournalStep {
  return { kind, says, place, at, patch: patchBetween(before, after) };
}
