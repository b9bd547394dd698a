import { clipVersion } from "../../shared/api/client.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipContent, FrameSize, Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import { createPictureCache } from "./picture-cache.ts";
import { wantedFrames } from "./prefetch-plan.ts";

/** A decoded frame, ready to be drawn. */
export interface Picture {
  readonly image: ImageBitmap;
  readonly size: FrameSize;
}

export interface Attention {
  readonly clip: string;
  readonly frame: number;
  readonly direction: 1 | -1;
  readonly content: ClipContent;
  /**
   * frames of the clip; null while it is not inspected yet: then only the frame itself is
   * fetched, and no fault is told
   */
  readonly count: number | null;
  /** the cursor moves fast: half size first */
  readonly moving: boolean;
  /** Whether a frame is extracted on disk, so that asking for it starts no extraction of its own. */
  readonly extracted: (frame: number) => boolean;
}

/**
 * Decoded frames around the cursor. `nearest` never waits; `onArrival` tells when a better picture is there.
 */
export interface Pictures {
  /**
   * Where the cursor is now: decodes the frame, and those of its neighbours that are
   * extracted, nearest first.
   */
  attend(attention: Attention): void;
  /** The full picture of a frame if it is decoded, else its half size one, else null. */
  nearest(clip: string, frame: number): Picture | null;
  isReady(clip: string, frame: number): boolean;
  close(): void;
}

export interface PicturesOptions {
  readonly service: Pick<Service, "frame">;
  readonly onArrival: (clip: string, frame: number) => void;
  /** Why a frame cannot be shown; frames beside the one that is looked at are asked for too. */
  readonly onFault: (fault: Fault, frame: number) => void;
  /** bytes of decoded pictures kept */
  readonly budgetBytes: number;
}

// decoding is off the main thread; more at once only delay the nearest (measured: 2 to 4 take the same)
const IN_FLIGHT = 3;
const [PLENTY_AHEAD, PLENTY_BEHIND] = [9, 3]; // frames: a third of a second of stepping with a held key
// frames decoded around a cursor that came by a leap: a step of ten, and half of that behind
const AFTER_LEAP = 16;
// around one that walks frame by frame: ten steps, and as many back, wherever it turns
const AROUND_WALKER = 32;
const HALF_AHEAD = 6; // half size pictures fetched around a moving cursor

/** Makes the holder of decoded pictures. */
export function createPictures({ service, onArrival, onFault, budgetBytes }: PicturesOptions): Pictures {
  /** Of the content last attended to: pictures of a file that was replaced are those of another clip. */
  const versions = new Map<string, string>();
  const keyOf = (clip: string, frame: number, size: FrameSize) =>
    `${size} ${frame} ${versions.get(clip) ?? ""} ${clip}`;
  const cache = createPictureCache<Picture>(budgetBytes, (picture) => picture.image.close());
  const running = new Map<string, { readonly abort: AbortController; readonly frame: number }>();
  let queue: { readonly key: string; readonly frame: number; readonly size: FrameSize }[] = [];
  let clip = "";
  let at: number | null = null;
  let walks = false;
  let content: ClipContent | null = null;
  let inspected = false;
  let fullBytes = 0;
  let closed = false;

  function attend(attention: Attention): void {
    const { clip: clipNow, frame, direction, moving, extracted } = attention;
    if (clipNow !== clip) {
      for (const { abort } of running.values()) abort.abort();
      clip = clipNow;
      fullBytes = 0;
      at = null;
    }
    if (frame !== at) walks = at !== null && Math.abs(frame - at) === 1;
    at = frame;
    content = attention.content;
    versions.set(clipNow, clipVersion(content));
    inspected = attention.count !== null;
    const count = attention.count ?? frame + 1;
    if (!moving && plenty(frame, direction, count)) return;
    // A margin of two keeps the plan from pushing out what it has just decoded.
    const room = fullBytes === 0 ? 8 : Math.max(3, Math.floor(budgetBytes / fullBytes) - HALF_AHEAD - 2);
    const near = (most: number) =>
      wantedFrames(frame, direction, count, Math.min(most, count)).filter((f) => f === frame || extracted(f));
    const full = near(Math.min(room, walks ? AROUND_WALKER : AFTER_LEAP)).map((f) => job(f, "full"));
    const half = moving ? near(HALF_AHEAD).map((f) => job(f, "half")) : [];
    queue = [...half, ...full].filter(({ key, frame: f }) => !cache.has(key) && !hasFull(f));
    const wanted = new Set(queue.map(({ key }) => key));
    for (const [key, { abort }] of running) if (!wanted.has(key)) abort.abort();
    pump();
  }

  /**
   * Enough is decoded beside the frame, so that turning back and forth fetches
   * nothing; what is queued goes on.
   */
  function plenty(frame: number, direction: 1 | -1, count: number): boolean {
    for (let i = -PLENTY_BEHIND; i <= PLENTY_AHEAD; i++) {
      const f = frame + i * direction;
      if (f >= 0 && f < count && !hasFull(f)) return false;
    }
    return true;
  }

  const job = (frame: number, size: FrameSize) => ({ key: keyOf(clip, frame, size), frame, size });
  const hasFull = (frame: number) => cache.has(keyOf(clip, frame, "full"));

  function pump(): void {
    while (!closed && running.size < IN_FLIGHT) {
      const next = queue.shift();
      if (next === undefined) return;
      if (running.has(next.key) || cache.has(next.key)) continue;
      const abort = new AbortController();
      running.set(next.key, { abort, frame: next.frame });
      void load(clip, next.frame, next.size, abort.signal).finally(() => {
        running.delete(next.key);
        pump();
      });
    }
  }

  async function load(clipNow: string, frame: number, size: FrameSize, signal: AbortSignal): Promise<void> {
    const key = keyOf(clipNow, frame, size); // of the content that is asked for, whatever comes meanwhile
    try {
      if (content === null) return;
      const blob = await service.frame(clipNow, frame, size, content, signal);
      const image = await createImageBitmap(blob);
      if (closed || signal.aborted) return image.close();
      const bytes = image.width * image.height * 4;
      if (size === "full") fullBytes = bytes;
      cache.put(key, { image, size }, bytes);
      onArrival(clipNow, frame);
    } catch (error) {
      if (!signal.aborted && inspected) onFault(faultOf(error), frame);
    }
  }

  return {
    attend,
    nearest: (clipNow, frame) =>
      cache.get(keyOf(clipNow, frame, "full")) ?? cache.get(keyOf(clipNow, frame, "half")) ?? null,
    isReady: (clipNow, frame) => cache.has(keyOf(clipNow, frame, "full")),
    close() {
      closed = true;
      for (const { abort } of running.values()) abort.abort();
      cache.clear();
    },
  };
}
