import type { ClipEntry } from "../../shared/api/contract.ts";
import type { Measured } from "../../shared/quantity/measured.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import { freshSession, freshShot } from "../../shared/session/fresh.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import { faultOf } from "./autosave.ts";
import { createDeskClips } from "./desk-clips.ts";
import { createDeskDocument } from "./desk-document.ts";
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
import type { UnsavedNotes } from "./unsaved-notes.ts";
import { usableClips } from "./usable-clips.ts";
import type { WaitingResult } from "./waiting-result.ts";

export interface DeskParts {
  readonly service: Service;
  readonly measure: MeasureShot;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly unsaved: UnsavedNotes;
  readonly now: () => Date;
}

/** The window's one store and everything that changes it. */
export type Desk = ReturnType<typeof createDesk>;

/** Makes the desk; `open` fills it from the service. */
export function createDesk({ service, measure, later, unsaved, now }: DeskParts) {
  const store: Store<state.DeskState> = createStore(state.emptyDesk(freshSession("")));
  const get = store.get;
  const patch = (part: Partial<state.DeskState>) => store.set({ ...get(), ...part });
  let noticeId = 0;

  const jobs = createDeskJobs(store, service, {
    saveNow: () => document.saveNow(),
    named: () => document.named(),
    present: () => document.endPeek(),
  });
  const results = createDeskResults({
    store,
    jobs,
    measure,
    later,
    onFault: (fault) => tell("warning", fault),
    onInspected: (clip) => clips.lookedAt(clip),
  });
  function tell(level: state.AppNotice["level"], fault: Fault): void {
    const notices = get().notices.filter((notice) => notice.fault.cause !== fault.cause);
    patch({ notices: [...notices, { id: ++noticeId, level, fault }] });
  }

  const document = createDeskDocument({
    store,
    service,
    later,
    unsaved,
    now,
    onFault: (fault) => tell("warning", fault),
    onDocument(before, after) {
      settle();
      results.lookAtClips();
      results.measureChanged(before, after);
      clips.documentChanged();
    },
  });
  const clips = createDeskClips({
    store,
    jobs,
    service,
    later,
    inspect: results.inspect,
    measure: results.measureClip,
    note: document.noteClip,
    changeAll: document.changeAll,
    onFault: (fault) => tell("warning", fault),
  });
  const { change } = document;

  async function open(): Promise<void> {
    patch({ phase: "opening", fault: null });
    try {
      const [host, reply, clips] = await Promise.all([service.host(), service.session(), service.clips()]);
      const opened: state.DeskState = {
        ...state.emptyDesk(reply.session),
        phase: "ready",
        host,
        folderName: reply.folderName,
        access: reply.access,
        readOnlyReason: reply.readOnlyReason,
        clips,
      };
      const placed = state.atShot(opened, reply.session.shots[0]?.id ?? null);
      store.set(state.atStep(placed, state.firstOpenStep(state.shotOf(placed))));
      document.opened(reply, host.folder);
      const [only, second] = usableClips(clips);
      if (reply.session.shots.length === 0 && only !== undefined && second === undefined) addShot(only);
      results.lookAtClips();
      results.measureAll();
      void takeUpJobs(working);
    } catch (error) {
      patch({ phase: "failed", fault: faultOf(error) });
    }
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

  /** Takes a step back or makes one again, and shows where. */
  function walk(kind: "undo" | "redo"): void {
    document[kind]();
    const place = get().walked?.place;
    if (place === undefined) return;
    if (place.shotId !== null && place.shotId !== get().shotId && hasShot(place.shotId))
      chooseShot(place.shotId);
    if (place.heading !== null && place.heading !== get().step) openStep(place.heading);
    if (place.frame !== null && place.shotId === get().shotId) store.set(state.atFrame(get(), place.frame));
  }

  function hasShot(id: string): boolean {
    return state.sessionOf(get()).shots.some((shot) => shot.id === id);
  }

  const working = { store, jobs, service, change, tell };

  return {
    store,
    service,
    open,
    tell,
    change,
    changeAll: document.changeAll,
    duringVisit: document.duringVisit,
    addShot,
    chooseShot,
    openStep,
    choosePoint,
    inspect: results.inspect,
    lookAtFolder: clips.lookAtFolder,
    acceptContent: clips.acceptContent,
    takeFound: clips.takeFound,
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
    settleConflict: document.settleConflict,
    /** The steps of this session and of those before it, the newest first. @throws FaultError */
    moments: () => service.history(),
    /** The newest state that the history holds, for a session file that cannot be read; null when there is none. */
    async lastGood() {
      const moment = (await service.history())[0];
      return moment === undefined ? null : { moment, session: await service.moment(moment.id) };
    },
    /** Puts a state of the history in place of a session file that cannot be read, and opens it. */
    async recover(moment: string) {
      try {
        await service.recover(moment);
      } catch (error) {
        patch({ fault: faultOf(error) });
        return;
      }
      await open();
    },
    lookAt: document.lookAt,
    lookAtOffer: document.lookAtOffer,
    endPeek: document.endPeek,
    takePeek: document.takePeek,
    dropOffer: document.dropOffer,
    dismiss: (id: number) => patch({ notices: get().notices.filter((notice) => notice.id !== id) }),
    stopJob: jobs.stop,
    undo: () => walk("undo"),
    redo: () => walk("redo"),
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
    leave: document.leave,
    keepUnsaved: document.keepUnsaved,
    saveNow: document.saveNow,
  };
}
