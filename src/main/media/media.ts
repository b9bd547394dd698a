import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";

export type FrameSize = "full" | "half";

export interface Progress {
  /** 0 to 1. */
  readonly fraction: number;
  readonly doing: string;
  /** Of a follow: the frame that each way has come to. */
  readonly reached?: readonly number[];
}

export interface MediaOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
}

export interface GreyOptions extends MediaOptions {
  /**
   * Going on from `from`: frames from here on are kept where they are decoded on the way, to be asked for
   * next.
   */
  readonly keepFrom?: number;
}

/** One exact frame as its luma plane, upright with square pixels. */
export interface GreyFrame {
  readonly index: number;
  readonly image: GreyImage;
}

/** A frame that something is known against, and why, in words that go on from "it is damaged: ". */
export interface DamagedFrame {
  readonly frame: number;
  readonly why: string;
  /** Whether it can be shown all the same: it decodes without an error, and yet lies beside damage. */
  readonly shown: boolean;
}

/**
 * What the rest of main may ask of ffmpeg. Paths are absolute and already checked by the store.
 * Failures are FaultErrors.
 */
export interface Media {
  /** Facts of a clip with the exact timestamp of every shown frame; nothing is decoded. */
  inspect(path: string, options?: MediaOptions): Promise<ClipFacts>;
  /**
   * Makes sure frames from..to (inclusive) are in the cache, whole and exact, but for those that are damaged.
   */
  extract(
    path: string,
    facts: ClipFacts,
    from: number,
    to: number,
    size: FrameSize,
    options?: MediaOptions,
  ): Promise<void>;
  /**
   * The damaged and doubtful frames known so far, in order: those among all that were asked for
   * since the program started.
   */
  damage(path: string, facts: ClipFacts): Promise<readonly DamagedFrame[]>;
  /**
   * Greatest grey level (0 to 255) by which each frame differs from the one before, in tiny copies; null for
   * the first, and where one of the two is damaged.
   */
  differences(path: string, facts: ClipFacts, options?: MediaOptions): Promise<readonly (number | null)[]>;
  /**
   * Exact frames as luma planes, from `from` to `to` in order, falling when `to` is before `from`; damaged
   * ones are left out. They are kept in the cache, and given from it where they are there. Their samples lie
   * in memory that threads may share.
   */
  grey(
    path: string,
    facts: ClipFacts,
    from: number,
    to: number,
    options?: GreyOptions,
  ): AsyncIterable<GreyFrame>;
  /**
   * One exact frame as JPEG, upright with square pixels; extracts its neighbourhood if missing.
   * @throws FaultError frame-damaged, ...
   */
  frame(
    path: string,
    facts: ClipFacts,
    index: number,
    size: FrameSize,
    options?: MediaOptions,
  ): Promise<Uint8Array>;
}
