import type { ClipEntry } from "../../shared/api/contract.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import { freshSession, freshShot } from "../../shared/session/fresh.ts";
import { edited, type History, redone, startHistory, undone } from "../../shared/session/history.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import { type Autosave, createAutosave, faultOf } from "./autosave.ts";
import * as state from "./desk-state.ts";
import { createLatestWins } from "./latest-wins.ts";
import type { MeasureRequest } from "./measure-worker.ts";
import { activeHandle, type Picked, pickedAt, movedTo, placeOf, removalOf, rodTyped } from "./picks.ts";
import type { JobView, Service } from "./service.ts";
import { createStore, type Store } from "./store.ts";
import type { UnsavedNote } from "./unsaved-note.ts";

const SAVE_AFTER_MS = 600;
const RETRY_MS = 5000;

export interface DeskParts {
  readonly service: Service;
  readonly measure: (request: MeasureRequest) => Promise<ShotResult>;
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
  const stops = new Map<string, AbortController>();

  const queue = createLatestWins<MeasureRequest, ShotResult>(
    measure,
    (shotId, result) => patch({ results: { ...get().results, [shotId]: result } }),
    (_, error) => tell("warning", faultOf(error)),
  );

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
      lookAtClips();
      measureAll();
    } catch (error) {
      patch({ phase: "failed", fault: faultOf(error) });
    }
  }

  /** What a closed page could not save any more comes back as one undoable step. */
  function restoreUnsaved(revision: string, saved: Session): void {
    const kept = unsaved.read(folder);
    if (kept === null || sameDocument(kept.session, saved)) return unsaved.clear();
    if (kept.baseRevision !== revision) {
      tell("warning", {
        code: "unsaved-elsewhere",
        cause: "This window was closed before it could save, and the folder has changed since.",
        remedy: "What you had is one step of undo away: press Redo to see it, Undo to come back.",
      });
      patch({ history: { ...startHistory(saved), future: [kept.session] } });
      return unsaved.clear();
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
    lookAtClips();
    measureChanged(before, after);
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
      joined
        ? { ...history, present: applyEdit(history.present, edit), future: [] }
        : edited(history, edit),
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
    if (picked.edit === null) return store.set(picked.state);
    // The edit first: what the state selects must be there when it is looked at.
    const { history } = get();
    store.set({ ...picked.state, history });
    change(picked.edit, key);
  }

  function measureOne(shotId: string): void {
    const session = state.sessionOf(get());
    const shot = session.shots.find((one) => one.id === shotId);
    if (shot === undefined) return;
    const known = shot.clip === null ? undefined : get().known[shot.clip];
    if (shot.clip !== null && known === undefined) return; // asked again once the clip is known
    if (known?.status === "inspecting") return;
    queue.ask(shotId, { session, shotId, facts: known?.status === "known" ? known.facts : null });
  }

  function measureAll(): void {
    const current = get().shotId;
    if (current !== null) measureOne(current);
    for (const shot of state.sessionOf(get()).shots) if (shot.id !== current) measureOne(shot.id);
  }

  function measureChanged(before: Session, after: Session): void {
    const all =
      before.points !== after.points ||
      before.airframe !== after.airframe ||
      before.launcher !== after.launcher ||
      before.cameras !== after.cameras;
    if (all) return measureAll();
    for (const shot of after.shots) {
      if (before.shots.find((one) => one.id === shot.id) !== shot) measureOne(shot.id);
    }
  }

  /** Inspects every clip that a shot uses and that is not known yet, the current shot's first. */
  function lookAtClips(): void {
    const current = state.shotOf(get())?.clip ?? null;
    const used = state.sessionOf(get()).shots.flatMap((shot) => (shot.clip === null ? [] : [shot.clip]));
    for (const clip of new Set([...(current === null ? [] : [current]), ...used])) {
      if (get().known[clip] === undefined) void inspect(clip);
    }
  }

  async function inspect(clip: string): Promise<void> {
    const know = (knowledge: state.DeskState["known"][string]) =>
      patch({ known: { ...get().known, [clip]: knowledge } });
    know({ status: "inspecting" });
    try {
      const job = await runJob(`inspect ${clip}`, { kind: "inspect", clip });
      if (job.facts === null) {
        throw new FaultError(
          "not-inspected",
          `Looking at ${clip} was stopped.`,
          "Open the heading Clip and look at it again.",
        );
      }
      know({ status: "known", facts: job.facts });
      const now = get();
      if (state.shotOf(now)?.clip === clip) store.set(state.atFrame(now, now.frame));
    } catch (error) {
      know({ status: "failed", fault: faultOf(error) });
    }
    for (const shot of state.sessionOf(get()).shots) if (shot.clip === clip) measureOne(shot.id);
  }

  async function runJob(key: string, request: Parameters<Service["job"]>[0]) {
    const stop = new AbortController();
    stops.set(key, stop);
    try {
      return await service.job(request, {
        signal: stop.signal,
        onProgress: ({ doing, fraction, secondsLeft }) => showJob({ key, doing, fraction, secondsLeft }),
      });
    } finally {
      stops.delete(key);
      patch({ jobs: get().jobs.filter((job) => job.key !== key) });
    }
  }

  function showJob(view: JobView): void {
    const jobs = get().jobs.filter((job) => job.key !== view.key);
    patch({ jobs: [...jobs, view] });
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
    lookAtClips();
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
    inspect,
    runJob,
    settleConflict,
    dismiss: (id: number) => patch({ notices: get().notices.filter((notice) => notice.id !== id) }),
    stopJob: (key: string) => stops.get(key)?.abort(),
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
      const edit = handle === null ? null : removalOf(get(), handle);
      if (edit !== null) change(edit);
    },
    /** Lets go of what is in progress; the step's own pick starts afresh. */
    cancel() {
      patch({ pending: state.NO_PICKS, selected: null, playing: false });
      patch({ pick: state.pickFor(get(), get().step) });
    },
    typeRod: (rodM: Measured) => take(rodTyped(get(), rodM)),
    /** The page goes away: what is not saved is sent now, and kept in the tab in case that fails. */
    async leave(): Promise<void> {
      if (autosave === null || !autosave.unsaved()) return;
      unsaved.keep(folder, autosave.revision(), state.sessionOf(get()));
      await autosave.flush(true);
    },
    saveNow: () => autosave?.flush() ?? Promise.resolve(),
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
