import { predictLaunch } from "../predict/predict-shot.ts";
import type { ShotPrediction, ShotResult } from "../results/shot-result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import { type FilmedShot, filmedShot } from "../session/filmed-shot.ts";
import { holdsClockCheck } from "../session/holds-clock-check.ts";
import { type LaunchInputs, launchInputs } from "../session/launch-inputs.ts";
import type { Session } from "../session/schema.ts";
import type { QuickStart } from "./measure-motion.ts";
import { measureShotFrom } from "./measure-shot.ts";

/**
 * Measures shots again and again while a person works on them, remembering what a small
 * change leaves as it was.
 */
export interface Measurer {
  /**
   * The result from where the last full measurement of this shot settled: release is looked for nearby only,
   * on a coarser grid, and the systematic parts are those of the last full measurement. Full when there was
   * none, or when more than marks changed.
   */
  quick(session: Session, shotId: string, facts: ClipFacts | null): ShotResult;
  /** The result as measureShot gives it. */
  full(session: Session, shotId: string, facts: ClipFacts | null): ShotResult;
  /** What is remembered of a shot, to be handed to another measurer; null when there is nothing. */
  memoryOf(shotId: string): ShotMemory | null;
  /** Takes over what another measurer remembered, in place of its own. */
  remember(memories: readonly ShotMemory[]): void;
}

/**
 * What a measurer remembers of one shot: plain data, good for as long as the document's parts that
 * the keys hold are the same.
 */
export interface ShotMemory {
  readonly shotId: string;
  readonly start: Start | null;
  readonly prediction: RememberedPrediction | null;
}

interface Start {
  readonly key: string;
  readonly start: QuickStart | null;
}

interface RememberedPrediction {
  readonly key: string;
  readonly prediction: ShotPrediction;
}

/** @returns a measurer with an empty memory; it holds one entry a shot */
export function createMeasurer(): Measurer {
  const starts = new Map<string, Start>();
  const predictions = new Map<string, RememberedPrediction>();

  function predictionOf(shotId: string, launch: LaunchInputs): ShotPrediction {
    const key = JSON.stringify(launch);
    const known = predictions.get(shotId);
    if (known?.key === key) return known.prediction;
    const prediction = predictLaunch(launch);
    predictions.set(shotId, { key, prediction });
    return prediction;
  }

  function measure(session: Session, shotId: string, facts: ClipFacts | null, quick: boolean): ShotResult {
    const shot = session.shots.find((one) => one.id === shotId);
    if (shot === undefined) throw new RangeError(`no shot "${shotId}"`);
    const [filmed, launch] = [filmedShot(session, shot), launchInputs(session, shot)];
    const key = keyOf(filmed);
    const known = starts.get(shotId);
    const start = quick && known?.key === key ? known.start : null;
    const predicted = predictionOf(shotId, launch);
    const { result, quickStart } = measureShotFrom(filmed, launch, facts, predicted, start);
    if (start === null) starts.set(shotId, { key, start: quickStart });
    return result;
  }

  return {
    quick: (session, shotId, facts) => measure(session, shotId, facts, true),
    full: (session, shotId, facts) => measure(session, shotId, facts, false),
    memoryOf(shotId) {
      const [start, prediction] = [starts.get(shotId) ?? null, predictions.get(shotId) ?? null];
      return start === null && prediction === null ? null : { shotId, start, prediction };
    },
    remember(memories) {
      for (const { shotId, start, prediction } of memories) {
        if (start !== null) starts.set(shotId, start);
        if (prediction !== null) predictions.set(shotId, prediction);
      }
    },
  };
}

/**
 * All that a measurement takes from the document but the shot's own marks, as text: sessions come
 * through messages as copies.
 */
function keyOf(filmed: FilmedShot): string {
  const { shot, camera, points, airframe, launcher, site, ofSameCamera } = filmed;
  const { marks: _marks, ...rest } = shot;
  const others = ofSameCamera.filter((one) => one.shot.id !== shot.id && holdsClockCheck(one.shot, points));
  return JSON.stringify([airframe, camera, points, launcher?.kind, site, rest, others]);
}
