import type { FrameRange } from "./prefetch-plan.ts";
import { blockOf } from "./prefetch-plan.ts";

const BLOCK = 48; // frames: a quarter second of extraction at 1080p, and a neighbourhood one steps through

/**
 * Keeps the frames around the cursor extracted on disk, a block at a time: the one being
 * looked at, then the next.
 */
export interface ExtractAhead {
  attend(clip: string, frame: number, direction: 1 | -1, count: number): void;
  /** The clip's file was replaced: what was extracted is of another. */
  forget(clip: string): void;
  /** Whether the frame's block is known to be extracted. */
  extracted(clip: string, frame: number): boolean;
}

/**
 * Makes the extractor over `extract`, which resolves to whether the range is now in the cache. One block at a
 * time; a block that failed or was stopped is not asked for again until the cursor comes from another block.
 */
export function createExtractAhead(
  extract: (clip: string, range: FrameRange) => Promise<boolean>,
  onBlock: () => void,
): ExtractAhead {
  const done = new Set<string>();
  let refused = "";
  let attended = "";
  let running = false;
  let wanted: { readonly clip: string; readonly ranges: readonly FrameRange[] } | null = null;

  async function drain(): Promise<void> {
    running = true;
    for (let next = nextRange(); next !== null; next = nextRange()) {
      const { clip, range, key } = next;
      if (await extract(clip, range)) {
        done.add(key);
        onBlock();
      } else refused = key;
    }
    running = false;
  }

  function nextRange() {
    if (wanted === null) return null;
    const { clip } = wanted;
    for (const range of wanted.ranges) {
      const key = `${range.from} ${clip}`;
      if (!done.has(key) && key !== refused) return { clip, range, key };
    }
    return null;
  }

  return {
    forget(clip) {
      for (const key of done) if (key.slice(key.indexOf(" ") + 1) === clip) done.delete(key);
      attended = "";
    },
    extracted: (clip, frame) => done.has(`${Math.floor(frame / BLOCK) * BLOCK} ${clip}`),
    attend(clip, frame, direction, count) {
      const here = blockOf(frame, count, BLOCK);
      const key = `${here.from} ${clip}`;
      if (key !== attended) refused = "";
      attended = key;
      const beside = direction === 1 ? here.to + 1 : here.from - 1;
      const next = beside >= 0 && beside < count ? [blockOf(beside, count, BLOCK)] : [];
      wanted = { clip, ranges: [here, ...next] };
      if (!running) void drain();
    },
  };
}
