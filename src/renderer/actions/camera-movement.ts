import { launchStretch, wantsLook } from "../../shared/measure/steadying.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Edit } from "../../shared/session/edits.ts";
import type { Shot } from "../../shared/session/schema.ts";
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
const ENOUGH = 3; // frames in the launch: between two, a hand may have come back

export function createCameraMovement(parts: CameraMovementParts): CameraMovement {
  const { store, jobs, later, measure, change, onFault } = parts;
  const get = store.get;
  /** Stretches of files that were looked at, whatever came of it: none is asked for twice. */
  const asked = new Set<string>();
  let waiting = false;

  function look(): void {
    if (waiting || next() === null) return;
    waiting = true;
    later(() => void lookAtNext(), LOOK_AFTER_MS);
  }

  async function lookAtNext(): Promise<void> {
    const wanted = next();
    if (wanted !== null) {
      asked.add(wanted.key);
      await lookAt(wanted);
    }
    waiting = false;
    look();
  }

  async function lookAt({ clip, facts, from, to }: Wanted): Promise<void> {
    // A look that fails has seen nothing, and that is said.
    const camera = await jobs.run(`camera ${clip}`, { kind: "look", clip, from, to }).then(
      (job) => job.camera ?? null,
      () => ({ asked: 1, frames: [] }),
    );
    const now = get().known[clip];
    if (camera === null || now?.status !== "known" || now.facts.bytes !== facts.bytes) return;
    const known = { ...get().known, [clip]: { ...now, facts: { ...now.facts, camera } } };
    store.set({ ...get(), known });
    measure(clip);
  }

  /** What is to be looked at next: the shot in the window first. */
  function next(): Wanted | null {
    const state = get();
    if (state.phase !== "ready") return null;
    const current = shotOf(state);
    const shots = [...(current === null ? [] : [current]), ...sessionOf(state).shots];
    for (const shot of shots) {
      const wanted = wantedOf(state, shot);
      if (wanted !== null && !asked.has(wanted.key)) return wanted;
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

function wantedOf(state: AppState, shot: Shot): Wanted | null {
  const known = shot.clip === null ? undefined : state.known[shot.clip];
  if (shot.clip === null || known?.status !== "known" || !wantsLook(sessionOf(state), shot)) return null;
  if (standingOf(state, shot.clip) === "other") return null;
  const { facts } = known;
  const { from, to } = launchStretch(shot, facts.pts.length);
  const seen = (facts.camera?.frames ?? []).filter(({ frame }) => frame >= from && frame <= to);
  if (facts.camera !== undefined && seen.length >= Math.min(ENOUGH, to - from + 1)) return null;
  const key = [shot.clip, facts.bytes, facts.modifiedMs, from, to].join(" ");
  return { clip: shot.clip, facts, from, to, key };
}
