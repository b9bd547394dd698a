import type { Fault } from "../../shared/quantity/notice.ts";
import { freshSession } from "../../shared/session/fresh.ts";
import * as state from "../app-state/app-state.ts";
import { usableClips } from "../app-state/usable-clips.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { UnsavedNotes } from "../saving/unsaved-notes.ts";
import { createStore, type Store } from "../store/store.ts";
import type { MeasureShot } from "../workers/measure-in-worker.ts";
import { createCameraMovement } from "./camera-movement.ts";
import { createCarryOver } from "./carry-over.ts";
import { createClipWatch } from "./clip-watch.ts";
import { createDayActions } from "./day-actions.ts";
import { createDocument } from "./document.ts";
import { takeUpJobs } from "./finished-jobs.ts";
import { createJobActions } from "./job-actions.ts";
import { createJobs } from "./jobs.ts";
import { createLookThrough } from "./look-through.ts";
import { createMeasuredShots } from "./measured-shots.ts";
import { createNavigation } from "./navigation.ts";
import { createOutingActions } from "./outing-actions.ts";
import { createPicking } from "./picking-actions.ts";
import { recalling } from "./recalled-measurements.ts";
import { createShelfActions } from "./shelf-actions.ts";

export interface ActionsParts {
  readonly service: Service;
  readonly measure: MeasureShot;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly unsaved: UnsavedNotes;
  readonly now: () => Date;
}

/** The window's one store and everything that changes it. */
export type Actions = ReturnType<typeof createActions>;

/**
 * Makes the store and its actions: of the document, of where the window stands, of what is picked, and
 * of jobs. `open` fills it.
 */
export function createActions({ service, measure, later, unsaved, now }: ActionsParts) {
  const store: Store<state.AppState> = createStore(state.emptyState(freshSession("")));
  const get = store.get;
  const patch = (part: Partial<state.AppState>) => store.set({ ...get(), ...part });
  let noticeId = 0;

  const jobs = createJobs(store, service, {
    saveNow: () => document.saveNow(),
    named: () => document.named(),
    present: () => document.endPeek(),
  });
  const results = createMeasuredShots({
    store,
    jobs,
    measure: recalling(measure, service),
    later,
    onFault: (fault) => tell("warning", fault),
    onInspected(clip) {
      clips.lookedAt(clip);
      movement.look();
      carrying.look();
      lookThrough();
    },
  });
  function tell(level: state.AppNotice["level"], fault: Fault): void {
    const notices = get().notices.filter((notice) => notice.fault.cause !== fault.cause);
    patch({ notices: [...notices, { id: ++noticeId, level, fault }] });
  }

  const document = createDocument({
    store,
    service,
    later,
    unsaved,
    now,
    onFault: (fault) => tell("warning", fault),
    onDocument(before, after) {
      navigation.settle();
      results.lookAtClips();
      results.measureChanged(before, after);
      clips.documentChanged();
      movement.look();
      carrying.look();
      lookThrough();
    },
  });
  const lookThrough = createLookThrough({ store, jobs, later });
  const movement = createCameraMovement({
    store,
    jobs,
    later,
    measure: results.measureClip,
    change: document.change,
    onFault: (fault) => tell("warning", fault),
  });
  const clips = createClipWatch({
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
  const carrying = createCarryOver({
    store,
    jobs,
    changeAll: document.changeAll,
    followAll: () => jobActions.followAll(),
    onLeft: () => lookThrough(),
    onFault: (fault) => tell("warning", fault),
  });
  const navigation = createNavigation({ store, document, onShot });
  function onShot(): void {
    results.lookAtClips();
    carrying.look();
    lookThrough();
  }
  const picking = createPicking(store, { change: document.change, goOn: navigation.moves.goOn });

  async function open(): Promise<void> {
    patch({ phase: "opening", fault: null });
    try {
      const [host, reply, clips] = await Promise.all([service.host(), service.session(), service.clips()]);
      const opened: state.AppState = {
        ...state.emptyState(reply.session),
        phase: "ready",
        host,
        folderName: reply.folderName,
        access: reply.access,
        readOnlyReason: reply.readOnlyReason,
        truth: reply.truth,
        clips,
      };
      const placed = state.atShot(opened, reply.session.shots[0]?.id ?? null);
      store.set(state.atStep(placed, state.firstOpenStep(state.shotOf(placed))));
      document.opened(reply, host.folder);
      const [only, second] = usableClips(clips);
      if (reply.session.shots.length === 0 && only !== undefined && second === undefined)
        navigation.moves.addShot(only);
      results.lookAtClips();
      results.measureAll();
      void takeUpJobs(working);
    } catch (error) {
      patch({ phase: "failed", fault: faultOf(error) });
    }
  }

  const working = { store, jobs, service, change: document.change, tell };
  const jobActions = createJobActions(working);

  return {
    store,
    service,
    open,
    tell,
    change: document.change,
    changeAll: document.changeAll,
    duringVisit: document.duringVisit,
    ...navigation.moves,
    inspect: results.inspect,
    lookAtFolder: clips.lookAtFolder,
    acceptContent: clips.acceptContent,
    takeFound: clips.takeFound,
    takeMovementOut: movement.takeOut,
    ...jobActions,
    lookAs: carrying.lookAs,
    accept: carrying.accept,
    takeOver: carrying.takeOver,
    leaveSetUp: carrying.leaveSetUp,
    settleConflict: document.settleConflict,
    /** The steps of this session and of those before it, the newest first. @throws FaultError */
    logs: () => service.logs(),
    log: (name: string) => service.log(name),
    moments: () => service.history(),
    /**
     * The newest state that the history holds, for a session file that cannot be read;
     * null when there is none.
     */
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
    ...picking,
    ...createDayActions(store),
    ...createOutingActions({ store, service, jobs, change: document.change }),
    ...createShelfActions({ store, service, change: document.change, changeAll: document.changeAll }),
    measureAll: results.measureAll,
    stopMeasuring: results.stopAll,
    leave: document.leave,
    keepUnsaved: document.keepUnsaved,
    saveNow: document.saveNow,
  };
}
