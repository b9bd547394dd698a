import { basename } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { framesAfterGap } from "./after-gap.ts";
import { clipFactsOf } from "./clip-facts-of.ts";
import { type ClipFingerprints, fingerprintsOfProcess } from "./clip-fingerprint.ts";
import { createClipIdentity } from "./clip-identity.ts";
import { createDamageBook } from "./damage-book.ts";
import { createPackMaker } from "./extract-pack.ts";
import { frameDifferences } from "./frame-differences.ts";
import { createFrameStore } from "./frame-store.ts";
import { greyFrames } from "./grey-frames.ts";
import { listClip } from "./list-clip.ts";
import type { FrameSize, Media, MediaOptions } from "./media.ts";
import { cacheTooSmall, cancelled, clipState, frameDamaged, noSuchFrame } from "./media-faults.ts";
import { type FrameRun, nextMissing, runAround } from "./pack-plan.ts";
import { createFfmpeg } from "./run-ffmpeg.ts";
import { type SharedWork, shareWork } from "./shared-work.ts";

export interface MediaSetup {
  /** Absolute path, or null when none was found: every call then fails with ffmpeg-missing. */
  readonly ffmpegPath: string | null;
  /** Folder for derived frames; made when needed, may be deleted at any time. */
  readonly cacheDir: string;
  /** Bytes the cache may hold before the longest unused frames go. */
  readonly cacheLimitBytes?: number;
  /** Where it is known what clips are, to read each only once; by default its own. */
  readonly fingerprints?: ClipFingerprints;
  /** ms; the clock behind "longest unused". */
  readonly now?: () => number;
  /**
   * Ends what is done beside the calls: a long clip read whole to know it by its content. Without it,
   * that keeps a process alive.
   */
  readonly signal?: AbortSignal;
}

const DEFAULT_CACHE_BYTES = 4e9; // some 9000 full-size 1080p frames: a field day's launches many times over
// A pack can vanish before it is read when others clear or fill the cache; hardly five times.
const ATTEMPTS = 5;

/** What is being made of one clip and size right now. */
interface Making extends FrameRun {
  readonly work: SharedWork<void>;
  readonly watchers: Set<(done: number) => void>;
}

/** Clips by ffmpeg: facts, and exact frames through a cache on disk. See Media for each function. */
export function createMedia(setup: MediaSetup): Media {
  const ffmpeg = createFfmpeg(setup.ffmpegPath);
  const store = createFrameStore(
    setup.cacheDir,
    setup.cacheLimitBytes ?? DEFAULT_CACHE_BYTES,
    setup.now ?? Date.now,
  );
  void store.clearLeftovers();
  const identity = createClipIdentity(setup.fingerprints ?? fingerprintsOfProcess(setup.cacheDir));
  const atWork = new Map<string, number>(); // calls that use a key now: what lies under it stays there
  const settling = new Map<string, Settling>();
  let moved: Promise<void> = Promise.resolve();
  const damage = createDamageBook(ffmpeg);
  const unsettled = new Map<string, string>(); // keys of files whose content is not read yet
  const noted = new Set<string>(); // keys whose listing is noted in it
  const makePack = createPackMaker(ffmpeg, store, damage);
  const makingOf = new Map<string, Set<Making>>();

  function makingNow(key: string, size: FrameSize): Set<Making> {
    const id = `${key}/${size}`;
    const all = makingOf.get(id) ?? new Set();
    makingOf.set(id, all);
    return all;
  }

  function startMaking(clip: Clip, run: FrameRun, urgent: boolean): Making {
    const all = makingNow(clip.key, clip.size);
    const watchers = new Set<(done: number) => void>();
    const work = shareWork((signal) =>
      makePack({
        ...clip,
        from: run.from,
        count: run.to - run.from + 1,
        urgent,
        signal,
        onFrames: (done) => {
          for (const watch of watchers) watch(done);
        },
      }).finally(() => all.delete(making)),
    );
    const making: Making = { ...run, work, watchers };
    all.add(making);
    return making;
  }

  /**
   * Waits for one run that is being made. A run that its last asker gave up is no
   * failure of ours: look again.
   */
  async function joinMaking(
    making: Making,
    options: MediaOptions | undefined,
    watch: (done: number) => void,
  ) {
    making.watchers.add(watch);
    try {
      await making.work.join(options?.signal);
    } catch (error) {
      if (options?.signal?.aborted || !making.work.abandoned) throw error;
    } finally {
      making.watchers.delete(watch);
    }
  }

  /**
   * The run being made that holds a frame. Asked and acted on without a pause, so that
   * no run is started twice.
   */
  function beingMade(clip: Clip, frame: number): Making | undefined {
    return [...makingNow(clip.key, clip.size)].find(
      (making) => frame >= making.from && frame <= making.to && !making.work.abandoned,
    );
  }

  return {
    async inspect(path, options) {
      if (options?.signal?.aborted) throw cancelled();
      const state = await clipState(path);
      // Both start a process: side by side a person waits for one. A fault of the program
      // goes before one of the clip.
      const listing = listClip(ffmpeg, path, options);
      listing.catch(() => undefined);
      await ffmpeg.version();
      const facts = clipFactsOf(path, state, await listing);
      options?.onProgress?.({ fraction: 1, doing: "Listing every frame" });
      return facts;
    },

    async extract(path, facts, from, to, size, options) {
      const clip = await clipOf(path, facts, from, to, size);
      return using(clip, async () => {
        const inStore = await store.coverage(clip.key, size);
        // A damaged frame is done with: nothing can be had of it.
        const cached = (frame: number) => inStore(frame) || damage.of(clip.key).has(frame);
        const total = to - from + 1;
        const tell = (done: number) =>
          options?.onProgress?.({ fraction: Math.min(1, done / total), doing: "Preparing frames" });
        const made = new Set<number>();
        // What was made and is missing again was pushed out by what was made since.
        const markMade = (first: number) => {
          if (made.has(first)) throw cacheTooSmall(total);
          made.add(first);
        };
        for (;;) {
          if (options?.signal?.aborted) throw cancelled();
          const ready = countOf(from, to, cached);
          tell(ready);
          const missing = nextMissing({ from, to }, cached);
          if (missing === null) return;
          const run = nextMissing(missing, (frame) => cached(frame) || beingMade(clip, frame) !== undefined);
          if (run !== null) markMade(run.from);
          const making = run === null ? beingMade(clip, missing.from) : startMaking(clip, run, false);
          if (making !== undefined) await joinMaking(making, options, (done) => tell(ready + done));
        }
      });
    },

    async damage(path, facts) {
      const { key } = await clipOf(path, facts, 0, 0, "full");
      const damaged = [...damage.of(key)].map(([frame, why]) => ({ frame, why, shown: false }));
      const doubtful = [...damage.doubtful(key)]
        .filter(([frame]) => !damage.of(key).has(frame))
        .map(([frame, why]) => ({ frame, why, shown: true }));
      return [...damaged, ...doubtful].sort((a, b) => a.frame - b.frame);
    },

    async differences(path, facts, options) {
      const clip = await clipOf(path, facts, 0, 0, "full");
      return using(clip, async () => (await frameDifferences(ffmpeg, store, damage, clip, options)).greatest);
    },

    async *grey(path, facts, from, to, options) {
      const clip = await clipOf(path, facts, Math.min(from, to), Math.max(from, to), "full");
      const signal = options?.signal ?? new AbortController().signal;
      enter(clip.key);
      try {
        yield* greyFrames(ffmpeg, store, damage, {
          ...clip,
          from,
          to,
          signal,
          keepFrom: options?.keepFrom ?? from,
        });
      } finally {
        leave(clip);
      }
    },

    async frame(path, facts, index, size, options) {
      const clip = await clipOf(path, facts, index, index, size);
      return using(clip, async () => {
        const cached = await store.coverage(clip.key, size);
        const near = (frame: number) =>
          cached(frame) || beingMade(clip, frame) !== undefined || damage.of(clip.key).has(frame);
        for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
          if (options?.signal?.aborted) throw cancelled();
          if (!cached(index) && !damage.of(clip.key).has(index)) {
            const run = runAround(index, facts.pts.length, near);
            await joinMaking(beingMade(clip, index) ?? startMaking(clip, run, true), options, () => {});
          }
          const jpeg = await store.read(clip.key, size, index);
          if (jpeg !== null) return jpeg;
          const why = damage.of(clip.key).get(index);
          if (why !== undefined) throw frameDamaged(facts.name, index, why, nearestSound(index, clip));
        }
        throw cacheTooSmall(1);
      });
    },
  };

  /** The nearest frames before and after one that are not known to be damaged. */
  function nearestSound(index: number, { key, facts }: Clip): readonly [number | null, number | null] {
    const damaged = damage.of(key);
    let [before, after] = [index - 1, index + 1];
    while (before >= 0 && damaged.has(before)) before--;
    while (after < facts.pts.length && damaged.has(after)) after++;
    return [before < 0 ? null : before, after < facts.pts.length ? after : null];
  }

  async function clipOf(
    path: string,
    facts: ClipFacts,
    from: number,
    to: number,
    size: FrameSize,
  ): Promise<Clip> {
    const count = facts.pts.length;
    if (!(Number.isInteger(from) && Number.isInteger(to) && from >= 0 && from <= to && to < count)) {
      throw noSuchFrame(basename(path), from, to, count);
    }
    const { key, settled } = await identity.nameOf(path, facts);
    await moved; // what was made under the key before is then found under this one
    keepUnderOneKey(`${path} ${facts.bytes} ${facts.modifiedMs}`, key, settled);
    noteWhatIsListed(key, facts);
    return { key, settled, path, facts, size };
  }

  /**
   * What is known of a clip's damage follows it to the key of its content at once; its frames
   * follow when nobody uses them.
   */
  function keepUnderOneKey(file: string, key: string, settled: boolean): void {
    const before = unsettled.get(file);
    if (!settled) unsettled.set(file, key);
    else if (before !== undefined) {
      unsettled.delete(file);
      damage.move(before, key);
    }
  }

  /** Notes, once a key, what the listing alone tells against frames. */
  function noteWhatIsListed(key: string, facts: ClipFacts): void {
    if (noted.has(key)) return;
    noted.add(key);
    const count = facts.pts.length;
    if (facts.misplacedFrom !== undefined)
      damage.note(key, framesFrom(facts.misplacedFrom, count), MISPLACED);
    for (const [frame, before] of framesAfterGap(facts)) {
      damage.doubt(key, frame, `frames are missing after frame ${before}, and it may be predicted from them`);
    }
  }

  /**
   * Does work under a clip's key; after the last one, what lies under a key that is only good until
   * the clip was read moves.
   */
  async function using<T>(clip: Clip, work: () => Promise<T>): Promise<T> {
    enter(clip.key);
    try {
      return await work();
    } finally {
      leave(clip);
    }
  }

  function enter(key: string): void {
    atWork.set(key, (atWork.get(key) ?? 0) + 1);
  }

  function leave(clip: Clip): void {
    const others = (atWork.get(clip.key) ?? 1) - 1;
    if (others > 0) atWork.set(clip.key, others);
    else atWork.delete(clip.key);
    if (clip.settled) return;
    const now = settling.get(clip.key) ?? startSettling(clip);
    if (now.to !== null && others === 0) moveOver(clip.key, now.to);
  }

  /** Reads the clip once what a person waits for is there; nothing depends on when that is done. */
  function startSettling({ key, path, facts }: Clip): Settling {
    const state: Settling = { to: null };
    settling.set(key, state);
    identity.settle(path, facts, setup.signal ?? new AbortController().signal).then(
      ({ from, to }) => {
        if (from !== key) return; // the file has changed since: its frames are made again
        state.to = to;
        if (!atWork.has(key)) moveOver(key, to);
      },
      () => settling.delete(key), // Gone, or changing: asked for again, it is read again.
    );
    return state;
  }

  function moveOver(from: string, to: string): void {
    damage.move(from, to);
    moved = moved.then(() => store.move(from, to)).catch(() => undefined);
  }
}

interface Settling {
  /** The key of the content, once it is known. */
  to: string | null;
}

interface Clip {
  readonly key: string;
  readonly settled: boolean;
  readonly path: string;
  readonly facts: ClipFacts;
  readonly size: FrameSize;
}

const MISPLACED = "frames before it cannot be read, so that the time it was taken is not known";

function framesFrom(first: number, count: number): readonly number[] {
  return Array.from({ length: count - first }, (_, i) => first + i);
}

function countOf(from: number, to: number, has: (frame: number) => boolean): number {
  let count = 0;
  for (let frame = from; frame <= to; frame++) if (has(frame)) count++;
  return count;
}
