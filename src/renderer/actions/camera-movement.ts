import {
  isLookedAt,
  launchStretch,
  stretchesToLookAt,
  wantsLook,
  withLook,
} from "../../shared/measure/camera-look.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Edit } from "../../shared/session/edits.ts";
import { type AppState, sessionOf, shotOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import type { Jobs } from "./jobs.ts";

/** Sees whether cameras moved, and takes their movement out. */
export interface CameraMovement {
  /** Looks, one clip after the other, wherever that is not known of the frames that a shot uses. */
  look(): void;
  /** Follows the still background of a shot and puts the movement into the document, as one step of undo. */
  takeOut(shotId: string): Promise<void>;
}

export interface CameraMovementParts {
  readonly store: Store<AppState>;
  readonly jobs: Pick<Jobs, "run" | "runOnDocument">;
  readonly later: (run: () => void, ms: number) => () => void;
  /** Measures the shots of a clip again. */
  readonly measure: (clip: string) => void;
  readonly change: (edit: Edit) => void;
  readonly onFault: (fault: Fault) => void;
}

/** Key of the work that follows a shot's background. */
export function steadyKey(shotId: string): string {
  return `steady ${shotId}`;
}

const LOOK_AFTER_MS = 1500; // the first picture, and reading the clip, go before

export function createCameraMovement(parts: CameraMovementParts): CameraMovement {
  const { store, jobs, later, measure, change, onFault } = parts;
  const get = store.get;
  /** Stretches of files that were looked at, whatever came of it: none is asked for twice. */
  const asked = new Set<string>();

  function look(): void {
    if (get().looking || next() === null) return;
    store.set({ ...get(), looking: true });
    later(() => void lookAtAll(), LOOK_AFTER_MS);
  }

  async function lookAtAll(): Promise<void> {
    for (let wanted = next(); wanted !== null; wanted = next()) {
      asked.add(wanted.key);
      await lookAt(wanted);
    }
    store.set({ ...get(), looking: false });
  }

  async function lookAt({ clip, facts, from, to }: Wanted): Promise<void> {
    // A look that fails has seen nothing, and that is said.
    const look = await jobs.run(`camera ${clip}`, { kind: "look", clip, from, to }).then(
      (job) => job.camera ?? null,
      () => ({ asked: [from, to], frames: [] }),
    );
    const now = get().known[clip];
    if (look === null || now?.status !== "known" || now.facts.bytes !== facts.bytes) return;
    const camera = withLook(now.facts.camera, { from, to }, look);
    const known = { ...get().known, [clip]: { ...now, facts: { ...now.facts, camera } } };
    store.set({ ...get(), known });
    measure(clip);
  }

  /** What is to be looked at next: the shot in the window first. */
  function next(): Wanted | null {
    const state = get();
    if (state.phase !== "ready") return null;
    const clips = [shotOf(state), ...sessionOf(state).shots].flatMap((shot) => shot?.clip ?? []);
    for (const clip of new Set(clips)) {
      const wanted = wantedOf(state, clip).find(({ key }) => !asked.has(key));
      if (wanted !== undefined) return wanted;
    }
    return null;
  }

  return {
    look,
    async takeOut(shotId) {
      const shot = sessionOf(get()).shots.find(({ id }) => id === shotId);
      const clip = shot?.clip ?? null;
      if (clip === null) return;
      try {
        const request = { kind: "steady", clip, shotId } as const;
        const job = await jobs.runOnDocument(steadyKey(shotId), (document) => ({ ...request, document }));
        const there = sessionOf(get()).shots.find(({ id }) => id === shotId);
        if (job.movement == null || there === undefined || there.clip !== clip) return; // stopped, or gone
        change({ kind: "update-shot", shotId, patch: { movement: job.movement } });
      } catch (error) {
        onFault(faultOf(error));
      }
    },
  };
}

interface Wanted {
  readonly clip: string;
  readonly facts: ClipFacts;
  readonly from: number;
  readonly to: number;
  readonly key: string;
}

/** The stretches of a clip that one of its shots lacks a look at. */
function wantedOf(state: AppState, clip: string): readonly Wanted[] {
  const known = state.known[clip];
  if (known?.status !== "known" || standingOf(state, clip) === "other") return [];
  const { facts } = known;
  const session = sessionOf(state);
  const shots = session.shots.filter((shot) => shot.clip === clip && wantsLook(session, shot));
  const frames = facts.pts.length;
  const own = shots.map((shot) => launchStretch(shot, frames));
  return stretchesToLookAt(shots, frames)
    .filter(({ from, to }) =>
      own.some((one) => one.from >= from && one.to <= to && !isLookedAt(facts.camera, one)),
    )
    .map(({ from, to }) => {
      const key = [clip, facts.bytes, facts.modifiedMs, from, to].join(" ");
      return { clip, facts, from, to, key };
    });
}
