import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";
import { measureShot } from "../../shared/shot/measure-shot.ts";
import { refusedShot } from "../../shared/shot/refused-shot.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import type { DrawingRequest } from "../../shared/shot/systematic-parts.ts";
import type { MediaOptions, Progress } from "../media/media.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import type { FactsOf } from "./facts-cache.ts";
import { findNotedClip } from "./find-noted-clip.ts";

export interface MeasuredShots {
  readonly results: readonly ShotResult[];
  /** Facts of the clips that could be inspected, by clip name. */
  readonly facts: ReadonlyMap<string, ClipFacts>;
}

/**
 * Measures every shot of a session from the clips of the folder. A clip that cannot be read does not stop the other
 * shots: its own shots are refused, with its fault first among their notices. `draws` draws all inputs of each shot so many times.
 * @throws whatever ends the work as a whole: an abort, or a bug
 */
export async function measureShots(
  session: Session,
  folder: FieldFolder,
  factsOf: FactsOf,
  options: MediaOptions & { readonly draws?: number } = {},
): Promise<MeasuredShots> {
  const { facts, faults } = await inspectClips(session, folder, factsOf, options);
  const results = session.shots.map((shot): ShotResult => {
    const fault = faults.get(shot.clip ?? "");
    if (fault === undefined) {
      return measureShot(session, shot.id, facts.get(shot.clip ?? "") ?? null, askedOf(shot.name, options));
    }
    // Marks of a clip that cannot be read are marks of nobody knows what: nothing is measured from them.
    return refusedShot(session, shot, { level: "refusal", ...fault });
  });
  return { results, facts };
}

/** Facts of every clip that a session names, and the faults of those that could not be read or hold another content. @throws as measureShots does */
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
      facts.set(name, await factsOf(clip, reading));
    } catch (error) {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      faults.set(name, error.fault);
    }
  }
  options.signal?.throwIfAborted();
  return { facts, faults };
}

const TELL_EVERY = 50; // draws: a few times a second

function askedOf(
  shotName: string,
  { draws, onProgress }: MediaOptions & { readonly draws?: number },
): DrawingRequest | null {
  if (draws === undefined) return null;
  const doing = `Drawing the inputs of ${shotName}`;
  return {
    draws,
    onDraw: (done) => {
      if (done % TELL_EVERY === 0) onProgress?.({ fraction: done / draws, doing });
    },
  };
}
