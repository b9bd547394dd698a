import { type CameraSeen, stretchesToLookAt, wantsLook, withLook } from "../../shared/measure/camera-look.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import { clipRefusal } from "../../shared/results/notices/clip-notices.ts";
import { MOTION_NOTICES } from "../../shared/results/notices/motion-notices.ts";
import type { ShotNotice } from "../../shared/results/notices/shot-notices.ts";
import type { ShotPrediction, ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { OutOfPatience } from "../jobs/worker-thread.ts";
import type { Workers } from "../jobs/workers.ts";
import type { MediaOptions, Progress } from "../media/media.ts";
import type { FieldFolder, FoundClip } from "../store/field-folder.ts";
import type { FactsOf } from "./facts-cache.ts";
import { findNotedClip } from "./find-noted-clip.ts";

export interface MeasuredShots {
  readonly results: readonly ShotResult[];
  /** Facts of the clips that could be inspected, by clip name. */
  readonly facts: ReadonlyMap<string, ClipFacts>;
}

export interface MeasuringOptions extends MediaOptions {
  /** Draws all inputs of each shot so many times. */
  readonly draws?: number;
  /** Told of bugs that one shot brought up, with their stacks. */
  readonly log: (error: unknown) => void;
}

const INSPECTING = 0.2; // share of the work
const PATIENCE_MS = 120_000; // a hard shot takes seconds; what goes on for minutes does not end

/**
 * Measures every shot of a session from the clips of the folder, several at a time where there are threads
 * for it. A clip that cannot be read, or a shot that cannot be measured, does not stop the others: it is
 * refused, and why stands first among its notices.
 * @throws FaultError, or the signal's reason, when the work as a whole is stopped
 */
export async function measureShots(
  session: Session,
  folder: FieldFolder,
  factsOf: FactsOf,
  workers: Workers,
  options: MeasuringOptions,
): Promise<MeasuredShots> {
  const { signal, onProgress } = options;
  const { facts, faults } = await inspectClips(session, folder, factsOf, {
    ...options,
    onProgress: ({ fraction, doing }) => onProgress?.({ fraction: INSPECTING * fraction, doing }),
  });
  const count = session.shots.length;
  const parts = session.shots.map(() => 0);
  const what = options.draws === undefined ? "measuring" : "drawing its inputs";
  const tell = (i: number, part: number) => {
    parts[i] = part;
    const whole = parts.reduce((sum, one) => sum + one, 0) / count;
    onProgress?.({
      fraction: INSPECTING + (1 - INSPECTING) * whole,
      doing: `Shot ${i + 1} of ${count}: ${what}`,
    });
  };
  const results = await Promise.all(
    session.shots.map(async (shot, i) => {
      const fault = faults.get(shot.clip ?? "");
      const result =
        fault === undefined
          ? await measured(shot, i)
          : // Marks of a clip that cannot be read are marks of nobody knows what: nothing is measured from them.
            await unmeasured(shot, clipRefusal(fault));
      parts[i] = 1;
      return result;
    }),
  );
  return { results, facts };

  async function measured(shot: Shot, i: number): Promise<ShotResult> {
    const task = {
      kind: "measure",
      shotId: shot.id,
      facts: facts.get(shot.clip ?? "") ?? null,
      draws: options.draws ?? null,
    } as const;
    try {
      return await workers.run(session, task, {
        signal,
        onStart: () => tell(i, 0),
        onFraction: (fraction) => tell(i, fraction),
        patienceMs: PATIENCE_MS,
      });
    } catch (error) {
      if (signal?.aborted === true) throw error;
      options.log(error);
      const refusal = notMeasured(shot, error);
      // The prediction is part of what never ended: it is not waited for a second time.
      return error instanceof OutOfPatience
        ? { shotId: shot.id, measurement: null, prediction: null, comparison: null, notices: [refusal] }
        : unmeasured(shot, refusal);
    }
  }

  /**
   * What is left to say of a shot without its measurement: what the model predicts, where that can be had.
   */
  async function unmeasured(shot: Shot, refusal: ShotNotice): Promise<ShotResult> {
    const { prediction, notices } = await workers
      .run(session, { kind: "predict", shotId: shot.id }, { signal, patienceMs: PATIENCE_MS })
      .catch((error: unknown): ShotPrediction => {
        if (signal?.aborted === true) throw error;
        return { prediction: null, notices: [] }; // what is wrong has been said and logged
      });
    return {
      shotId: shot.id,
      measurement: null,
      prediction,
      comparison: null,
      notices: [refusal, ...notices],
    };
  }
}

/** The refusal of a shot whose measurement threw or never ended; what was thrown goes to the log. */
export function notMeasured({ name }: Shot, thrown: unknown): ShotNotice {
  const why =
    thrown instanceof OutOfPatience
      ? `the computation was stopped after ${Math.round(thrown.afterMs / 1000)} s without a result`
      : "something in it was not foreseen";
  return MOTION_NOTICES["not-measured"](name, why);
}

/**
 * Facts of every clip that a session names, and the faults of those that could not be read
 * or hold another content.
 * @throws as measureShots does
 */
export async function inspectClips(
  session: Session,
  folder: FieldFolder,
  factsOf: FactsOf,
  options: MediaOptions = {},
): Promise<{ readonly facts: ReadonlyMap<string, ClipFacts>; readonly faults: ReadonlyMap<string, Fault> }> {
  const facts = new Map<string, ClipFacts>();
  const faults = new Map<string, Fault>();
  const names = [...new Set(session.shots.flatMap((shot) => (shot.clip === null ? [] : [shot.clip])))];
  for (const [i, name] of names.entries()) {
    const share = (progress: Progress) =>
      options.onProgress?.({ ...progress, fraction: (i + progress.fraction) / names.length });
    share({ fraction: 0, doing: `Inspecting ${name}` });
    try {
      const reading = { ...options, onProgress: share };
      const clip = await findNotedClip(session, folder, name, factsOf.fingerprints, reading);
      facts.set(name, await withCamera(session, clip, await factsOf(clip, reading), factsOf.looks, reading));
    } catch (error) {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      faults.set(name, error.fault);
    }
  }
  options.signal?.throwIfAborted();
  return { facts, faults };
}

/** The facts of a clip with what was seen of its camera's movement, where a shot depends on that. */
async function withCamera(
  session: Session,
  clip: FoundClip,
  facts: ClipFacts,
  looks: FactsOf["looks"],
  options: MediaOptions,
): Promise<ClipFacts> {
  const shots = session.shots.filter(
    (shot) => shot.clip === clip.name && shot.marks.length > 0 && wantsLook(session, shot),
  );
  if (looks === undefined || shots.length === 0) return facts;
  let camera: CameraSeen | undefined;
  for (const stretch of stretchesToLookAt(shots, facts.pts.length)) {
    camera = withLook(camera, stretch, await looks.at(clip, facts, stretch, options));
  }
  return camera === undefined ? facts : { ...facts, camera };
}
