import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { DamageFile, DamagePage } from "./damage-file.ts";
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

/** What is known of the damage in each clip, found as frames are asked for. Sound clips are never examined. */
export interface DamageBook {
  /** Looks up what earlier runs of the program found in a clip. Has to be asked once before the rest. */
  recall(key: string): Promise<void>;
  /** Damaged frames known so far, each with the reason. */
  of(key: string): ReadonlyMap<number, string>;
  /** Examines the stretch around a run, unless it was examined before. @throws as examineFrames does */
  examine(
    clip: BookedClip,
    run: FrameRun,
    onFrames?: (done: number) => void,
  ): Promise<ReadonlyMap<number, string>>;
  /** Notes frames that gave no exact picture though nothing was found against them. */
  note(key: string, frames: readonly number[], why: string): void;
  /** Takes what is known under one key over to another. */
  move(from: string, to: string): Promise<void>;
}

/** @param file where it is kept from one start to the next; without one, only as long as the program runs */
export function createDamageBook(ffmpeg: Ffmpeg, file?: DamageFile): DamageBook {
  const pages = new Map<string, DamagePage>();
  const recalled = new Map<string, Promise<void>>();
  // One after the other: two who ask about one stretch at the same time need it examined once.
  const turn = createLimit(1);

  function page(key: string): DamagePage {
    const known = pages.get(key) ?? { damaged: new Map(), examined: [] };
    pages.set(key, known);
    return known;
  }

  function recall(key: string): Promise<void> {
    const known =
      recalled.get(key) ?? (file?.read(key) ?? Promise.resolve(null)).then((kept) => add(key, kept));
    recalled.set(key, known);
    return known;
  }

  function add(key: string, more: DamagePage | null): void {
    if (more === null) return;
    const { damaged, examined } = page(key);
    for (const [frame, why] of more.damaged) damaged.set(frame, why);
    examined.push(...more.examined);
  }

  return {
    recall,
    of: (key) => page(key).damaged,
    examine(clip, run, onFrames) {
      return turn(true, clip.signal, async () => {
        const { damaged, examined } = page(clip.key);
        if (examined.some(({ from, to }) => from <= run.from && to >= run.to)) return damaged;
        const stretch = stretchAround(clip.facts, run);
        const asked = { ...clip, urgent: true, ...(onFrames === undefined ? {} : { onFrames }) };
        for (const [frame, why] of await examineFrames(ffmpeg, asked, stretch)) damaged.set(frame, why);
        examined.push(stretch);
        await file?.write(clip.key, page(clip.key));
        return damaged;
      });
    },
    note(key, frames, why) {
      for (const frame of frames) page(key).damaged.set(frame, why);
    },
    async move(from, to) {
      await recall(to);
      const known = pages.get(from);
      if (known === undefined || known.examined.length === 0) return;
      add(to, known);
      pages.delete(from);
      await file?.write(to, page(to));
    },
  };
}
