import type { PushTrack } from "../../shared/measure/push-track.ts";
import type { ShotNotice } from "../../shared/results/notices/shot-notices.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import type { MediaOptions } from "../media/media.ts";
import type { JobParts } from "./job-parts.ts";
import { inspectClips, notMeasured } from "./measure-shots.ts";

export interface TrackedShots {
  /** By the id of the shot. */
  readonly tracks: ReadonlyMap<string, PushTrack>;
  /** What was noticed of each that was measured, by its id. */
  readonly noticed: ReadonlyMap<string, readonly ShotNotice[]>;
  /** Of the shots that could not be measured: why, by their id. */
  readonly lacking: ReadonlyMap<string, string>;
}

interface ReadShot {
  readonly id: string;
  readonly track: PushTrack | null;
  readonly notices: readonly ShotNotice[];
  readonly why: string;
}

const INSPECTING = 0.2; // share of the work
const PATIENCE_MS = 120_000; // as for measuring a shot, which this is

/**
 * Reads the push of some shots of a session, to tune on. A shot that cannot be measured is
 * left out, with the reason.
 * @throws FaultError, or the signal's reason, when the work as a whole is stopped
 */
export async function trackShots(
  { folder, factsOf, workers, log }: Pick<JobParts, "folder" | "factsOf" | "workers" | "log">,
  session: Session,
  shotIds: readonly string[],
  { signal, onProgress }: Required<MediaOptions>,
): Promise<TrackedShots> {
  const shots = session.shots.filter(({ id }) => shotIds.includes(id));
  const { facts, faults } = await inspectClips({ ...session, shots }, folder, factsOf, {
    signal,
    onProgress: ({ fraction, doing }) => onProgress({ fraction: INSPECTING * fraction, doing }),
  });
  let done = 0;
  const read = await Promise.all(shots.map((shot, i) => track(shot, i)));
  return {
    tracks: new Map(read.flatMap(({ id, track: one }) => (one === null ? [] : [[id, one] as const]))),
    noticed: new Map(read.map(({ id, notices }) => [id, notices] as const)),
    lacking: new Map(read.flatMap(({ id, track: one, why }) => (one === null ? [[id, why] as const] : []))),
  };

  async function track(shot: Shot, i: number): Promise<ReadShot> {
    const fault = faults.get(shot.clip ?? "");
    if (fault !== undefined) return { id: shot.id, track: null, notices: [], why: fault.cause };
    const task = { kind: "track", shotId: shot.id, facts: facts.get(shot.clip ?? "") ?? null } as const;
    const tell = () =>
      onProgress({
        fraction: INSPECTING + ((1 - INSPECTING) * done) / shots.length,
        doing: `Shot ${i + 1} of ${shots.length}: reading its push`,
      });
    try {
      const options = { signal, patienceMs: PATIENCE_MS, onStart: tell };
      const found = await workers.run(session, task, options);
      done++;
      const refusal = found.notices.find(({ level }) => level === "refusal");
      return { id: shot.id, track: found.track, notices: found.notices, why: refusal?.cause ?? "" };
    } catch (error) {
      if (signal.aborted === true) throw error;
      log(error);
      return { id: shot.id, track: null, notices: [], why: notMeasured(shot, error).cause };
    }
  }
}
