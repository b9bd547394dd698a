import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { anotherClip } from "../../shared/shot/another-clip.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import { faultOf } from "./autosave.ts";
import { standingOf } from "./clip-standing.ts";
import type { DeskJobs } from "./desk-jobs.ts";
import { atFrame, type DeskState, sessionOf, shotOf } from "./desk-state.ts";
import { createLatestWins } from "./latest-wins.ts";
import type { MeasureRequest } from "./measure-worker.ts";
import type { ClipKnowledge } from "./service.ts";
import type { Store } from "./store.ts";

/** Keeps what is known of the clips and what is measured of the shots up to date with the document. */
export interface DeskResults {
  /** Inspects every clip that a shot uses and that is not known yet, the current shot's first. */
  lookAtClips(): void;
  /** Inspects one clip, again if need be. */
  inspect(clip: string): Promise<void>;
  /** Measures every shot of a clip again. */
  measureClip(clip: string): void;
  measureAll(): void;
  /** Measures again every shot that an edit could change. */
  measureChanged(before: Session, after: Session): void;
}

export interface DeskResultsParts {
  readonly store: Store<DeskState>;
  readonly jobs: DeskJobs;
  readonly measure: (request: MeasureRequest) => Promise<ShotResult>;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly onFault: (fault: Fault) => void;
  /** Told of each clip that was inspected, whatever came of it. */
  readonly onInspected: (clip: string) => void;
}

const REST_MS = 350; // a hand that nudges pauses less between two presses; a whole measurement takes as long

/**
 * Makes the keeper of results; shots are measured one at a time, and of each only the newest state. While only marks change, the
 * quick measurement answers, and the whole one follows when they have rested.
 */
export function createDeskResults(parts: DeskResultsParts): DeskResults {
  const { store, jobs, measure, later, onFault, onInspected } = parts;
  const get = store.get;
  const patch = (part: Partial<DeskState>) => store.set({ ...get(), ...part });
  const queue = createLatestWins<MeasureRequest, ShotResult>(
    measure,
    (shotId, result, { how }) => {
      patch({ results: { ...get().results, [shotId]: result } });
      if (how === "full") return;
      resting.get(shotId)?.();
      resting.set(
        shotId,
        later(() => refine(shotId), REST_MS),
      );
    },
    (_, error) => onFault(faultOf(error)),
    () => patch({ measuring: resting.size > 0 ? "refining" : "settled" }),
  );
  /** Shots whose quick result waits for the whole one, with what calls it off. */
  const resting = new Map<string, () => void>();

  function refine(shotId: string): void {
    resting.delete(shotId);
    measureOne(shotId, "refine");
  }

  function measureOne(shotId: string, why: "changed" | "marks" | "refine" = "changed"): void {
    const session = sessionOf(get());
    const shot = session.shots.find((one) => one.id === shotId);
    if (shot === undefined) return;
    const known = shot.clip === null ? undefined : get().known[shot.clip];
    const unknown = known === undefined || known.status === "inspecting";
    if (shot.clip !== null && unknown) return; // asked again once the clip is known
    const standing = shot.clip === null ? null : standingOf(get(), shot.clip);
    if (standing === "unread") {
      // No number before it is known to be the clip that was marked: asked again once all of it was read.
      const { [shotId]: _before, ...results } = get().results;
      patch({ results, measuring: "behind" });
      return;
    }
    const quick = why === "marks" && standing !== "other" && get().results[shotId]?.measurement != null;
    resting.get(shotId)?.();
    resting.delete(shotId);
    if (!quick && why !== "refine") patch({ measuring: "behind" });
    else if (get().measuring === "settled") patch({ measuring: "refining" });
    queue.ask(shotId, {
      session,
      shotId,
      facts: known?.status === "known" ? known.facts : null,
      how: quick ? "quick" : "full",
      refused: standing === "other" ? anotherClip(shot.clip ?? "") : null,
    });
  }

  function measureAll(): void {
    const current = get().shotId;
    if (current !== null) measureOne(current);
    for (const shot of sessionOf(get()).shots) if (shot.id !== current) measureOne(shot.id);
  }

  async function inspect(clip: string): Promise<void> {
    const know = (knowledge: ClipKnowledge) => patch({ known: { ...get().known, [clip]: knowledge } });
    know({ status: "inspecting" });
    try {
      const { facts, fingerprint = null } = await jobs.run(`inspect ${clip}`, { kind: "inspect", clip });
      if (facts === null) throw stopped(clip);
      know({ status: "known", facts, fingerprint });
      const now = get();
      if (shotOf(now)?.clip === clip) store.set(atFrame(now, now.frame));
    } catch (error) {
      know({ status: "failed", fault: faultOf(error) });
    }
    onInspected(clip);
    measureClip(clip);
  }

  function measureClip(clip: string): void {
    for (const shot of sessionOf(get()).shots) if (shot.clip === clip) measureOne(shot.id);
  }

  /** Whether a clip's file stands otherwise to what is noted of it now than to what an earlier document noted. */
  function restandsIn(before: Session, clip: string | null): boolean {
    if (clip === null) return false;
    const then = { ...get(), history: { ...get().history, present: before } };
    return (standingOf(then, clip) === "other") !== (standingOf(get(), clip) === "other");
  }

  return {
    inspect,
    measureClip,
    measureAll,
    lookAtClips() {
      const current = shotOf(get())?.clip ?? null;
      const used = sessionOf(get()).shots.flatMap((shot) => (shot.clip === null ? [] : [shot.clip]));
      for (const clip of new Set([...(current === null ? [] : [current]), ...used])) {
        if (get().known[clip] === undefined) void inspect(clip);
      }
    },
    measureChanged(before, after) {
      const all =
        before.points !== after.points ||
        before.airframe !== after.airframe ||
        before.launcher !== after.launcher ||
        tunedInUse(before) !== tunedInUse(after) ||
        before.cameras !== after.cameras ||
        before.site !== after.site ||
        before.units !== after.units; // notices are worded in the person's units
      if (all) {
        measureAll();
        return;
      }
      for (const shot of after.shots) {
        const was = before.shots.find((one) => one.id === shot.id);
        if (was === shot && before.clips !== after.clips && restandsIn(before, shot.clip))
          measureOne(shot.id);
        if (was !== shot)
          measureOne(shot.id, was !== undefined && sameButMarks(was, shot) ? "marks" : "changed");
      }
    },
  };
}

/** The tuned values predictions are made with; null where they are made with the stated ones. */
function tunedInUse({ tuning }: Session) {
  return tuning?.use === true ? tuning.tuned : null;
}

function sameButMarks(a: Shot, b: Shot): boolean {
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Shot>;
  return [...keys].every((key) => key === "marks" || a[key] === b[key]);
}

function stopped(clip: string): FaultError {
  return new FaultError(
    "not-inspected",
    `Looking at ${clip} was stopped.`,
    "Open the heading Clip and look at it again.",
  );
}
