import type { ClipEntry } from "../../shared/api/contract.ts";
import { freshShot, type ShotNames, unusedId } from "../../shared/session/fresh.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import * as state from "../app-state/app-state.ts";
import { rateField } from "../app-state/asked-fields.ts";
import type { PictureLook, Playback } from "../app-state/playback.ts";
import { airframeInView, pointsInView } from "../app-state/things-in-view.ts";
import { placeOf } from "../picking/picks.ts";
import type { Store } from "../store/store.ts";
import type { DocumentActions } from "./document.ts";

interface NavigationParts {
  readonly store: Store<state.AppState>;
  readonly document: Pick<DocumentActions, "change" | "changeAll" | "undo" | "redo">;
  /** Another shot is shown: its clip may have to be inspected. */
  readonly onShot: () => void;
}

function placeOfStep(step: state.Step | null): number {
  return step === null ? state.STEPS.length : state.STEPS.indexOf(step);
}

/** Where the window stands: the shot, the heading, the point and the frame. */
export function createNavigation({ store, document, onShot }: NavigationParts) {
  const get = store.get;
  const patch = (part: Partial<state.AppState>) => store.set({ ...get(), ...part });

  /** After undo or a reload the shot, point or selection in the window may be gone from the document. */
  function settle(): void {
    const now = get();
    const session = state.sessionOf(now);
    if (now.shotId !== null && state.shotOf(now) === null) {
      store.set(state.atShot(now, session.shots[0]?.id ?? null));
    }
    const points = pointsInView(get());
    if (!points.some((point) => point.id === get().pointId)) {
      patch({ pointId: points[0]?.id ?? null });
    }
    if (get().pick === null) patch({ pick: state.pickFor(get(), get().step) });
    if (get().selected !== null && placeOf(get(), get().selected!) === null) patch({ selected: null });
  }

  function addShot(clip: ClipEntry): void {
    const [shot] = shotsOfClips([clip]);
    if (shot === undefined) return;
    document.change({ kind: "add-shot", shot });
    chooseShot(shot.id);
    patch({ pointId: state.sessionOf(get()).points[0]?.id ?? null });
    openStep(state.firstOpenStep(shot));
    patch({ askedField: rateField(shot.id) });
  }

  /** From a heading of a new shot that is done to the next that is not. */
  function goOn(): void {
    const shot = state.shotOf(get());
    if (shot === null || shot.marks.length > 0) return;
    const next = state.firstOpenStep(shot);
    if (placeOfStep(next) > placeOfStep(get().step)) openStep(next);
  }

  /** A shot of each clip, in the order they were filmed, as one step. */
  function addShots(clips: readonly ClipEntry[]): void {
    const inTime = [...clips].sort((a, b) => a.modifiedMs - b.modifiedMs || a.name.localeCompare(b.name));
    const shots = shotsOfClips(inTime);
    const [first] = shots;
    if (first === undefined) return;
    const says = shots.length === 1 ? `Added ${first.name}` : `Added ${shots.length} shots`;
    document.changeAll(
      shots.map((shot) => ({ kind: "add-shot", shot })),
      says,
    );
    chooseShot(first.id);
    openStep(state.firstOpenStep(first));
  }

  function chooseShot(shotId: string): void {
    store.set(state.atShot(get(), shotId));
    onShot();
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

  /** New shots of clips, each with the next number that no shot of the session has. */
  function shotsOfClips(clips: readonly ClipEntry[]): readonly Shot[] {
    const session = state.sessionOf(get());
    const names = namesFor(session, state.shotOf(get()));
    const made: Shot[] = [];
    for (const { name } of clips) {
      const id = unusedId("shot", [...session.shots, ...made]);
      made.push(freshShot(id, id.replace("shot-", "Shot "), name, names));
    }
    return made;
  }

  /** A further shot is most likely one of the airframe, launcher and camera of the one before. */
  function namesFor(session: Session, before: Shot | null): ShotNames {
    const { airframeId, launcherId, cameraId } = before ??
      session.shots.at(-1) ?? {
        airframeId: airframeInView(get()).id,
        launcherId: session.launchers[0]?.id ?? null,
        cameraId: null,
      };
    return { airframeId, launcherId, cameraId };
  }

  /** Plays from here; from the clip's end, again from its beginning. */
  function play(playing: boolean): void {
    const last = (state.factsOf(get())?.pts.length ?? 0) - 1;
    if (playing && last > 0 && get().frame >= last) store.set(state.atFrame(get(), 0));
    patch({ playing, frameChosen: true });
  }

  function goTo(frame: number): void {
    store.set({ ...state.atFrame(get(), frame), frameChosen: true });
  }

  const moves = {
    addShot,
    addShots,
    chooseShot,
    openStep,
    goOn,
    choosePoint,
    undo: () => walk("undo"),
    redo: () => walk("redo"),
    goTo,
    stepBy: (by: number) => goTo(get().frame + by),
    play,
    setPlayback: (part: Partial<Playback>) => patch({ playback: { ...get().playback, ...part } }),
    setLook: (part: Partial<PictureLook>) => patch({ look: { ...get().look, ...part } }),
  };
  return { settle, moves };
}
