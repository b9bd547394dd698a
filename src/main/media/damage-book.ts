import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { examineFrames, stretchAround } from "./examine-frames.ts";
import { createLimit } from "./limit-parallel.ts";
import type { FrameRun } from "./pack-plan.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";

/** A clip whose frames are asked about; `key` names its content. */
export interface BookedClip {
  readonly key: string;
  readonly path: string;
  readonly facts: ClipFacts;
  readonly signal: AbortSignal;
}

/**
 * What is known of the damage in each clip, found as frames are asked for. Sound clips are never examined.
 */
export interface DamageBook {
  /** Damaged frames known so far, each with the reason. */
  of(key: string): ReadonlyMap<number, string>;
  /** Frames known so far to be in doubt, each with the reason: they can be shown. */
  doubtful(key: string): ReadonlyMap<number, string>;
  /** Examines the stretch around a run, unless it was examined before. @throws as examineFrames does */
  examine(
    clip: BookedClip,
    run: FrameRun,
    onFrames?: (done: number) => void,
  ): Promise<ReadonlyMap<number, string>>;
  /** Notes frames that gave no exact picture though nothing was found against them. */
  note(key: string, frames: readonly number[], why: string): void;
  /** Puts a frame in doubt. */
  doubt(key: string, frame: number, why: string): void;
  /** Takes what is known under one key over to another. */
  move(from: string, to: string): void;
}

/** Why a frame is damaged that nothing was found against. */
export const GIVES_NO_PICTURE = "no way of decoding the clip gives its exact picture";

interface Page {
  readonly damaged: Map<number, string>;
  readonly doubtful: Map<number, string>;
  readonly examined: FrameRun[];
}

export function createDamageBook(ffmpeg: Ffmpeg): DamageBook {
  const pages = new Map<string, Page>();
  // One after the other: two who ask about one stretch at the same time need it examined once.
  const turn = createLimit(1);

  function page(key: string): Page {
    const known = pages.get(key) ?? { damaged: new Map(), doubtful: new Map(), examined: [] };
    pages.set(key, known);
    return known;
  }

  return {
    of: (key) => page(key).damaged,
    doubtful: (key) => page(key).doubtful,
    examine(clip, run, onFrames) {
      return turn(true, clip.signal, async () => {
        const { damaged, doubtful, examined } = page(clip.key);
        if (examined.some(({ from, to }) => from <= run.from && to >= run.to)) return damaged;
        const stretch = stretchAround(clip.facts, run);
        const asked = { ...clip, urgent: true, ...(onFrames === undefined ? {} : { onFrames }) };
        const found = await examineFrames(ffmpeg, asked, stretch);
        for (const [frame, why] of found.damaged) damaged.set(frame, why);
        for (const [frame, why] of found.doubtful) doubtful.set(frame, why);
        examined.push(stretch);
        return damaged;
      });
    },
    note(key, frames, why) {
      for (const frame of frames) page(key).damaged.set(frame, why);
    },
    doubt: (key, frame, why) => page(key).doubtful.set(frame, why),
    move(from, to) {
      const known = pages.get(from);
      if (known === undefined) return;
      const { damaged, doubtful, examined } = page(to);
      for (const [frame, why] of known.damaged) damaged.set(frame, why);
      for (const [frame, why] of known.doubtful) doubtful.set(frame, why);
      examined.push(...known.examined);
      pages.delete(from);
    },
  };
}
