import type { ClipEntry } from "../../shared/api/contract.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import { freshSession, freshShot } from "../../shared/session/fresh.ts";
import { edited, type History, redone, startHistory, undone } from "../../shared/session/history.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import { type Autosave, createAutosave, faultOf } from "./autosave.ts";
import { drawShot } from "./desk-draws.ts";
import { doubtAccepted, followPointOnDesk } from "./desk-follow.ts";
import { createDeskJobs } from "./desk-jobs.ts";
import { createDeskResults } from "./desk-results.ts";
import * as state from "./desk-state.ts";
import { tuneOnDesk } from "./desk-tune.ts";
import { settleOffer, takeUpJobs } from "./desk-waiting.ts";
import { lampTurned } from "./lamp-changes.ts";
import type { MeasureShot } from "./measure-in-worker.ts";
import type { Picked } from "./picked.ts";
import { activeHandle, movedTo, pickedAt, placeOf, removed, rodTyped } from "./picks.ts";
import { controlTyped } from "./reference-picks.ts";
import type { Service } from "./service.ts";
import { createStore, type Store } from "./store.ts";
import type { UnsavedNote } from "./unsaved-note.ts";
import type { WaitingResult } from "./waiting-result.ts";

const SAVE_AFTER_MS = 600;
const RETRY_MS = 5000;

export interface DeskParts {
  readonly service: Service;
  readonly measure: MeasureShot;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly unsaved: UnsavedNote;
}

/** The window's one store and everything that changes it. */
export type Desk = ReturnType<typeof createDesk>;

/** Makes the desk; `open` fills it from the service. */
export function createDesk({ service, measure, later, unsaved }: DeskParts) {
  const store: Store<state.DeskState> = createStore(state.emptyDesk(freshSession("")));
  const get = store.get;
  const patch = (part: Partial<state.DeskState>) => store.set({ ...get(), ...part });
  let autosave: Autosave<Session> | null = null;
  let folder = "";
  let noticeId = 0;
  let coalescing: string | null = null;

  const saveNow = () => autosave?.flush() ?? Promise.resolve();
  const jobs = createDeskJobs(store, service, saveNow);
  const results = createDeskResults({
    store,
    jobs,
    measure,
    later,
    onFault: (fault) => tell("warning", fault),
  });

  function tell(level: state.AppNotice["level"], fault: Fault): void {
    const notices = get().notices.filter((notice) => notice.fault.cause !== fault.cause);
    patch({ notices: [...notices, { id: ++noticeId, level, fault }] });
  }

  async function open(): Promise<void> {
    patch({ phase: "opening", fault: null });
    try {
      const [host, reply, clips] = await Promise.all([
        service.host().catch(() => null),
        service.session(),
        service.clips(),
      ]);
      folder = reply.folderName;
      autosave = createAutosave(reply.revision, {
        save: service.save,
        onState: (save) => {
          if (save.status === "saved") unsaved.clear();
          patch({ save });
          if (save.status === "conflict") void adoptIfSame();
        },
        delayMs: SAVE_AFTER_MS,
        retryMs: RETRY_MS,
        later,
      });
      const opened: state.DeskState = {
        ...state.emptyDesk(reply.session),
        phase: "ready",
        host,
        folderName: reply.folderName,
        clips,
      };
      const placed = state.atShot(opened, reply.session.shots[0]?.id ?? null);
      store.set(state.atStep(placed, state.firstOpenStep(state.shotOf(placed))));
      restoreUnsaved(reply.revision, reply.session);
      if (reply.session.shots.length === 0 && clips.length === 1) addShot(clips[0]!);
      results.lookAtClips();
      results.measureAll();
      void takeUpJobs(working);
    } catch (error) {
      patch({ phase: "failed", fault: faultOf(error) });
    }
  }

  /** What a closed page could not save any more comes back as one undoable step. */
  function restoreUnsaved(revision: string, saved: Session): void {
    const kept = unsaved.read(folder);
    if (kept === null || sameDocument(kept.session, saved)) {
      unsaved.clear();
      return;
    }
    if (kept.baseRevision !== revision) {
      tell("warning", {
        code: "unsaved-elsewhere",
        cause: "This window was closed before it could save, and the folder has changed since.",
        remedy: "What you had is one step of undo away: press Redo to see it, Undo to come back.",
      });
      patch({ history: { ...startHistory(saved), future: [kept.session] } });
      unsaved.clear();
      return;
    }
    withHistory({ past: [saved], present: kept.session, future: [] });
  }

  function withHistory(history: History): void {
    const before = state.sessionOf(get());
    if (history === get().history) return;
    patch({ history });
    settle();
    const after = state.sessionOf(get());
    if (after === before) return;
    autosave?.changed(after);
    results.lookAtClips();
    results.measureChanged(before, after);
  }

  /** After undo or a reload the shot, point or selection on the desk may be gone from the document. */
  function settle(): void {
    const now = get();
    const session = state.sessionOf(now);
    if (now.shotId !== null && state.shotOf(now) === null) {
      store.set(state.atShot(now, session.shots[0]?.id ?? null));
    }
    if (!session.points.some((point) => point.id === get().pointId)) {
      patch({ pointId: session.points[0]?.id ?? null });
    }
    if (get().pick === null) patch({ pick: state.pickFor(get(), get().step) });
    if (get().selected !== null && placeOf(get(), get().selected!) === null) patch({ selected: null });
  }

  /** Applies an edit as one undoable step; edits in a row with the same key are one step together. */
  function change(edit: Edit, key: string | null = null): void {
    const { history } = get();
    const joined = key !== null && key === coalescing && history.past.length > 0;
    coalescing = key;
    withHistory(
      joined ? { ...history, present: applyEdit(history.present, edit), future: [] } : edited(history, edit),
    );
  }

  /** Several edits as one undoable step. */
  function changeAll(edits: readonly Edit[]): void {
    if (edits.length === 0) return;
    coalescing = null;
    const { history } = get();
    const present = edits.reduce(applyEdit, history.present);
    withHistory({ past: [...history.past, history.present], present, future: [] });
  }

  function take(picked: Picked | null, key: string | null = null): void {
    if (picked === null) return;
    if (picked.edit === null) {
      store.set(picked.state);
      return;
    }
    // The edit first: what the state selects must be there when it is looked at.
    const { history } = get();
    store.set({ ...picked.state, history });
    change(picked.edit, key);
  }

  function addShot(clip: ClipEntry): void {
    const shots = state.sessionOf(get()).shots;
    let n = shots.length + 1;
    while (shots.some((shot) => shot.id === `shot-${n}`)) n++;
    const shot = freshShot(`shot-${n}`, `Shot ${n}`, clip.name);
    change({ kind: "add-shot", shot });
    chooseShot(shot.id);
    openStep(state.firstOpenStep(shot));
  }

  function chooseShot(shotId: string): void {
    store.set(state.atShot(get(), shotId));
    results.lookAtClips();
  }

  function openStep(step: state.Step | null): void {
    store.set(state.atStep(get(), step));
  }

  function choosePoint(pointId: string): void {
    patch({ pointId, selected: null });
    if (get().step !== "marks") openStep("marks");
    else patch({ pick: { kind: "mark" } });
  }

  /** A save that reached the folder though its answer did not reach us is no conflict. */
  async function adoptIfSame(): Promise<void> {
    const reply = await service.session().catch(() => null);
    if (reply === null) return; // the conflict stays on screen, and with it the choice
    if (sameDocument(reply.session, state.sessionOf(get()))) autosave?.rebase(reply.revision);
  }

  /** Settles a conflict: the folder's version or ours, and the other one is a step of undo away. */
  async function settleConflict(keep: "mine" | "theirs"): Promise<void> {
    try {
      const reply = await service.session();
      const { history } = get();
      const mine = history.present;
      autosave?.rebase(reply.revision);
      if (keep === "theirs") {
        withHistory({ past: [...history.past, mine], present: reply.session, future: [] });
      } else {
        patch({ history: { ...history, past: [...history.past, reply.session] } });
        autosave?.changed(mine);
      }
      await autosave?.flush();
    } catch (error) {
      tell("warning", faultOf(error));
    }
  }

  const working = { store, jobs, service, change: (edit: Edit) => change(edit), tell };

  return {
    store,
    service,
    open,
    tell,
    change,
    changeAll,
    addShot,
    chooseShot,
    openStep,
    choosePoint,
    inspect: results.inspect,
    runJob: jobs.run,
    takeResult: jobs.take,
    drawInputs: () => drawShot(store, jobs, (fault) => tell("warning", fault)),
    tune: (request: TuneRequest) => tuneOnDesk(working, request),
    /** Takes a result that waits into the document, or discards it. */
    settleOffer: (offered: WaitingResult, what: "take" | "discard") => settleOffer(working, offered, what),
    /** Follows the current point from its hand mark in this frame, onwards or backwards in time. */
    follow: (back: boolean) =>
      followPointOnDesk({ store, jobs, change, onFault: (fault) => tell("warning", fault) }, back),
    acceptDoubt: (key: string, frame: number | null) => store.set(doubtAccepted(get(), key, frame)),
    settleConflict,
    dismiss: (id: number) => patch({ notices: get().notices.filter((notice) => notice.id !== id) }),
    stopJob: jobs.stop,
    undo() {
      coalescing = null;
      withHistory(undone(get().history));
    },
    redo() {
      coalescing = null;
      withHistory(redone(get().history));
    },
    goTo: (frame: number) => store.set(state.atFrame(get(), frame)),
    stepBy: (by: number) => store.set(state.atFrame(get(), get().frame + by)),
    play: (playing: boolean) => patch({ playing }),
    afterMark: (afterMark: state.AfterMark) => patch({ afterMark }),
    select: (selected: state.Handle | null) => patch({ selected }),
    choosePick: (pick: state.Pick | null) => patch({ pick, pending: state.NO_PICKS }),
    pickAt: (at: PxPoint) => take(pickedAt(get(), at)),
    moveTo: (handle: state.Handle, at: PxPoint) => take(movedTo(get(), handle, at)),
    nudge(dx: number, dy: number) {
      const handle = activeHandle(get());
      const from = handle === null ? null : placeOf(get(), handle);
      if (handle === null || from === null) return;
      const key = `nudge ${JSON.stringify(handle)} ${get().shotId} ${get().frame}`;
      take(movedTo(get(), handle, [from[0] + dx, from[1] + dy]), key);
    },
    remove() {
      const handle = activeHandle(get());
      take(handle === null ? null : removed(get(), handle));
    },
    /** Lets go of what is in progress; the step's own pick starts afresh. */
    cancel() {
      patch({ pending: state.NO_PICKS, selected: null, playing: false });
      patch({ pick: state.pickFor(get(), get().step) });
    },
    removeHandle: (handle: state.Handle) => take(removed(get(), handle)),
    typeControl: (at: number, part: { readonly xM?: number; readonly yM?: number }) =>
      take(controlTyped(get(), at, part)),
    /** Notes that the lamp changes in a frame, or takes that back. */
    turnLamp(frame: number) {
      const shot = state.shotOf(get());
      if (shot?.lamp === undefined) return;
      change({ kind: "update-shot", shotId: shot.id, patch: { lamp: lampTurned(shot.lamp, frame) } });
    },
    sketch: (part: Partial<state.Sketch>) => patch({ sketch: { ...get().sketch, ...part } }),
    typeRod: (rodM: Measured) => take(rodTyped(get(), rodM)),
    /** The page goes away: what is not saved is sent now, and kept in the tab in case that fails. */
    async leave(): Promise<void> {
      if (autosave === null || !autosave.unsaved()) return;
      unsaved.keep(folder, autosave.revision(), state.sessionOf(get()));
      await autosave.flush(true);
    },
    saveNow,
  };
}

/** Equal as documents, whatever the order of their keys: the folder's copy went through a parser that orders by schema. */
function sameDocument(a: Session, b: Session): boolean {
  return canonical(a) === canonical(b);
}

function canonical(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([p], [q]) => (p < q ? -1 : 1)))
      : part,
  );
}
