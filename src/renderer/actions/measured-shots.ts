import { measuredPart } from "../../shared/measure/measured-part.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import { CLIP_NOTICES } from "../../shared/results/notices/clip-notices.ts";
import { MOTION_NOTICES } from "../../shared/results/notices/motion-notices.ts";
import type { ShotNotice } from "../../shared/results/notices/shot-notices.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { Session, Shot, Tuning } from "../../shared/session/schema.ts";
import { whatTookPart } from "../../shared/session/what-took-part.ts";
import { type AppState, atFrame, sessionOf, shotOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import type { ClipKnowledge } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { OutOfTime } from "../workers/budgeted-worker.ts";
import { createLatestWins } from "../workers/latest-wins.ts";
import type { MeasureShot } from "../workers/measure-in-worker.ts";
import type { MeasureRequest } from "../workers/measure-worker.ts";
import { changedInput } from "./changed-input.ts";
import type { Jobs } from "./jobs.ts";

/** Keeps what is known of the clips and what is measured of the shots up to date with the document. */
export interface MeasuredShots {
  /** Inspects every clip that a shot uses and that is not known yet, the current shot's first. */
  lookAtClips(): void;
  /** Inspects one clip, again if need be. */
  inspect(clip: string): Promise<void>;
  /** Measures every shot of a clip again. */
  measureClip(clip: string): void;
  /** Measures every shot that is not measured as it is now, the current one first. */
  measureAll(): void;
  /** Ends what is measured and drops what waits; results that are there stay. */
  stopAll(): void;
  /** Measures again every shot that an edit could change. */
  measureChanged(before: Session, after: Session): void;
}

export interface MeasuredShotsParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly measure: MeasureShot;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly onFault: (fault: Fault) => void;
  /** Told of each clip that was inspected, whatever the outcome. */
  readonly onInspected: (clip: string) => void;
  /** ms, a clock that never goes back; the browser's by default. */
  readonly nowMs?: () => number;
}

/**
 * What a measurement may take once a newer one of its shot waits: then it computes
 * something nobody wants any more.
 */
const SUPERSEDED_MS = 1000;
/**
 * The same while a person nudges marks: each quick result shows how it goes, and ending one
 * a nudge would show none.
 */
const NUDGED_MS = 5000;
const REST_MS = 350; // a hand that nudges pauses less between two presses; a whole measurement takes as long

/**
 * Makes the keeper of results; shots are measured one at a time, and of each only the newest state. While
 * only marks change, the quick measurement answers, and the whole one follows when they have rested.
 */
export function createMeasuredShots(parts: MeasuredShotsParts): MeasuredShots {
  const { store, jobs, measure, later, onFault, onInspected, nowMs = () => performance.now() } = parts;
  const get = store.get;
  const patch = (part: Partial<AppState>) => store.set({ ...get(), ...part });
  /** What the last edit changed, as a person would call it. */
  let lastChanged: string | null = null;
  const queue = createLatestWins<MeasureRequest, ShotResult>({
    run: measure,
    onAnswer(shotId, result, { how }) {
      patch({ results: { ...get().results, [shotId]: result } });
      if (how === "full") return;
      resting.get(shotId)?.();
      resting.set(
        shotId,
        later(() => refine(shotId), REST_MS),
      );
    },
    onError(shotId, error, { session }) {
      const shot = session.shots.find(({ id }) => id === shotId);
      if (error instanceof OutOfTime && shot !== undefined) {
        const stopped = stoppedResult(shot, error, lastChanged);
        patch({ results: { ...get().results, [shotId]: stopped } });
      } else onFault(faultOf(error));
    },
    onIdle: () => patch({ measuring: resting.size > 0 ? "refining" : "settled" }),
    supersededAfterMs: (running, newer) =>
      running.how === "quick" && newer.how === "quick" ? NUDGED_MS : SUPERSEDED_MS,
    later,
    nowMs,
  });
  /** Shots whose quick result waits for the whole one, with what calls it off. */
  const resting = new Map<string, () => void>();

  function refine(shotId: string): void {
    resting.delete(shotId);
    measureOne(shotId, "refine");
  }

  function forget(shotId: string): void {
    resting.get(shotId)?.();
    resting.delete(shotId);
    queue.forget(shotId);
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
    const quick =
      why === "marks" &&
      standing !== "other" &&
      doubtOf(known) === null &&
      get().results[shotId]?.measurement != null;
    resting.get(shotId)?.();
    resting.delete(shotId);
    if (!quick && why !== "refine") patch({ measuring: "behind" });
    else if (get().measuring === "settled") patch({ measuring: "refining" });
    queue.ask(shotId, {
      session: measuredPart(session, shotId),
      shotId,
      facts: known?.status === "known" ? known.facts : null,
      how: quick ? "quick" : "full",
      refused: standing === "other" ? CLIP_NOTICES["another-clip"](shot.clip ?? "") : doubtOf(known),
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

  /**
   * Whether a clip's file stands otherwise to what is noted of it now than to what an earlier document noted.
   */
  function restandsIn(before: Session, clip: string | null): boolean {
    if (clip === null) return false;
    const then = { ...get(), history: { ...get().history, present: before } };
    return (standingOf(then, clip) === "other") !== (standingOf(get(), clip) === "other");
  }

  /** Why a shot is measured again after an edit; null where nothing of its result rests on it. */
  function whyAgain(before: Session, after: Session, was: Shot | undefined, shot: Shot) {
    if (was !== shot)
      return was !== undefined && sameBut(["marks"], was, shot) ? ("marks" as const) : ("changed" as const);
    const restands = before.clips !== after.clips && restandsIn(before, shot.clip);
    return restands || !sameThings(before, after, shot) ? ("changed" as const) : null;
  }

  return {
    inspect,
    measureClip,
    measureAll,
    stopAll() {
      for (const { id } of sessionOf(get()).shots) forget(id);
      if (queue.idle()) patch({ measuring: "settled" });
    },
    lookAtClips() {
      const current = shotOf(get())?.clip ?? null;
      const used = sessionOf(get()).shots.flatMap((shot) => (shot.clip === null ? [] : [shot.clip]));
      for (const clip of new Set([...(current === null ? [] : [current]), ...used])) {
        if (get().known[clip] === undefined) void inspect(clip);
      }
    },
    measureChanged(before, after) {
      lastChanged = changedInput(before, after) ?? lastChanged;
      for (const { id } of before.shots) {
        if (!after.shots.some((shot) => shot.id === id)) forget(id);
      }
      if (SHARED_BY_ALL.some((key) => before[key] !== after[key])) {
        measureAll();
        return;
      }
      for (const shot of after.shots) {
        const then = before.shots.find((one) => one.id === shot.id);
        const was = then !== undefined && sameBut(WORDS, then, shot) ? shot : then;
        const why = whyAgain(before, after, was, shot);
        if (why !== null) measureOne(shot.id, why);
      }
    },
  };
}

/** What stands in the place of a result that took too long: nothing, and what to do. */
function stoppedResult({ id, name }: Shot, { afterMs }: OutOfTime, changed: string | null): ShotResult {
  const seconds = Math.round(afterMs / 1000);
  return {
    shotId: id,
    measurement: null,
    prediction: null,
    comparison: null,
    notices: [MOTION_NOTICES["took-too-long"](name, seconds, changed)],
  };
}

/** Refuses to measure a clip of which it is not known whether it is the one that was marked. */
function doubtOf(known: ClipKnowledge | undefined): ShotNotice | null {
  if (known?.status !== "failed" || known.doubtful !== true) return null;
  return CLIP_NOTICES["clip-unread"](known.fault);
}

/** What a person calls a shot and notes of it: nothing of its result rests on that. */
const WORDS = ["name", "notes"] as const;

/** What every shot's result may rest on; the units, because notices are worded in them. */
const SHARED_BY_ALL = ["points", "cameras", "site", "units"] as const;

/** Whether a shot throws the same airframe from the same launcher, with the same tuned values. */
function sameThings(before: Session, after: Session, shot: Shot): boolean {
  const [was, is] = [whatTookPart(before, shot), whatTookPart(after, shot)];
  const sameTuned = tunedInUse(was.tuning) === tunedInUse(is.tuning);
  return was.airframe === is.airframe && was.launcher === is.launcher && sameTuned;
}

/** The tuned values predictions are made with; null where they are made with the stated ones. */
function tunedInUse(tuning: Tuning | undefined): Tuning["tuned"] {
  return tuning?.use === true ? tuning.tuned : null;
}

function sameBut(parts: readonly (keyof Shot)[], a: Shot, b: Shot): boolean {
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof Shot>;
  return [...keys].every((key) => parts.includes(key) || a[key] === b[key]);
}

function stopped(clip: string): FaultError {
  return new FaultError(
    "not-inspected",
    `Looking at ${clip} was stopped.`,
    "Open the heading Clip and look at it again.",
  );
}
