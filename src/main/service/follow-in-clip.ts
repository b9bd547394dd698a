import type { Followed } from "../../shared/follow/followed.ts";
import type { FollowOrder } from "../../shared/measure/follow-order.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { Following, Workers } from "../jobs/workers.ts";
import type { GreyFrame, GreyOptions, Media, MediaOptions } from "../media/media.ts";
import { readAhead } from "./read-ahead.ts";

/** One point, from a hand mark on, one way. */
export type FollowWay = Omit<FollowOrder, "clip">;

export interface FollowClipOptions extends MediaOptions {
  /** Ends it early: what was followed until then is given. */
  readonly stop?: AbortSignal;
}

/** A way that is being followed. */
interface Walk {
  readonly id: number;
  readonly way: FollowWay;
  begun: boolean;
  ended: boolean;
  /** The frame it has come to. */
  at: number;
}

/**
 * Follows points through the frames of a clip as they are decoded, each to its last frame or until its
 * follower ends: all that go onwards in one pass, all that go backwards in another that takes the frames
 * which the first one left in the cache. So the clip is decoded once, whatever is followed. Damaged frames
 * are passed over: a follower expects the point by the times of the frames, so that a gap is no step to it.
 * The pictures are looked at in threads; how far each came is told after each frame.
 * @returns of each way what was followed, in the order of the ways
 * @throws FaultError as Media.grey does, or the signal's reason; frame-damaged when a frame to follow from is
 */
export async function followInClip(
  media: Media,
  workers: Workers,
  path: string,
  facts: ClipFacts,
  ways: readonly FollowWay[],
  options: FollowClipOptions = {},
): Promise<readonly Followed[]> {
  const stampsS = timestampsS(facts);
  const walks = ways.map((way, id): Walk => ({ id, way, begun: false, ended: false, at: way.seed.frame }));
  const isBack = ({ way }: Walk) => way.to < way.seed.frame;
  const [onwards, back] = [walks.filter((one) => !isBack(one)), walks.filter(isBack)];
  const fault = new AbortController();
  const signal = AbortSignal.any([fault.signal, ...given(options.signal)]);
  const tell = () => options.onProgress?.(progressOf(walks));

  async function pass(some: readonly Walk[], frames: AsyncIterable<GreyFrame>): Promise<readonly Followed[]> {
    const following = workers.follow(some.length, signal);
    try {
      await walked(some, frames, following, stampsS, tell).catch((error: unknown) => {
        if (options.stop?.aborted !== true || signal.aborted) throw error;
      });
      const stopped = options.stop?.aborted === true;
      const damaged = some.find((walk) => !walk.begun);
      if (damaged !== undefined && !stopped) throw seedDamaged(facts.name, damaged.way.seed.frame);
      const followed = await following.followed();
      return some.map((walk) => outcome(walk, followed.get(walk.id), stopped));
    } catch (error) {
      fault.abort(error); // the other pass has no use any more
      throw error;
    } finally {
      following.close();
    }
  }

  const grey = (from: number, to: number, how: GreyOptions = {}) => {
    const until = AbortSignal.any([signal, ...given(options.stop)]);
    return readAhead(media.grey(path, facts, from, to, { ...how, signal: until }));
  };
  const [first, last] = [Math.min(...seeds(onwards)), Math.max(...onwards.map(({ way }) => way.to))];
  const [top, bottom] = [Math.max(...seeds(back)), Math.min(...back.map(({ way }) => way.to))];
  const backwards = () => (back.length === 0 ? [] : pass(back, grey(top, bottom)));
  if (onwards.length === 0) return backwards();
  let other: ReturnType<typeof backwards> | null = null;
  async function* beginningTheOther(frames: AsyncIterable<GreyFrame>): AsyncGenerator<GreyFrame> {
    for await (const frame of frames) {
      if (other === null && frame.index > top + KEPT_BY) {
        other = backwards();
        Promise.resolve(other).catch(() => undefined); // told where it is waited for
      }
      yield frame;
    }
  }
  const keepFrom = back.length === 0 ? first : Math.min(first, bottom);
  const found = await pass(onwards, beginningTheOther(grey(first, last, { keepFrom })));
  const all = [...found, ...(await (other ?? backwards()))];
  const order = [...onwards, ...back];
  return walks.map((walk) => all[order.indexOf(walk)] as Followed);
}

/** Frames past one by which it is in the cache. */
const KEPT_BY = 48;

async function walked(
  walks: readonly Walk[],
  frames: AsyncIterable<GreyFrame>,
  following: Following,
  stampsS: readonly number[],
  tell: () => void,
): Promise<void> {
  for await (const { index, image } of frames) {
    for (const walk of walks) {
      const { seed, to } = walk.way;
      const step = to < seed.frame ? -1 : 1;
      if (!walk.begun && step * (index - seed.frame) > 0) return; // it is not among the frames
      walk.ended ||= walk.begun && step * (index - to) > 0;
    }
    const begin = walks.filter(({ begun, way }) => !begun && way.seed.frame === index);
    const see = walks.filter(({ begun, ended }) => begun && !ended);
    if (begin.length + see.length > 0) {
      const ended = await following.see({
        frame: index,
        image,
        begin: begin.map(({ id, way: { seed, hands, exposureShare } }) => ({
          id,
          start: { seed, hands, exposureShare, stampsS },
        })),
        see: see.map(({ id }) => id),
      });
      for (const walk of begin) walk.begun = true;
      for (const walk of [...begin, ...see]) {
        walk.at = index;
        walk.ended = ended.includes(walk.id) || index === walk.way.to;
      }
      tell();
    }
    if (walks.every(({ begun, ended }) => begun && ended)) return;
  }
}

function seeds(walks: readonly Walk[]): readonly number[] {
  return walks.map(({ way }) => way.seed.frame);
}

function given(signal: AbortSignal | undefined): readonly AbortSignal[] {
  return signal === undefined ? [] : [signal];
}

function outcome({ ended, at }: Walk, followed: Followed | undefined, stopped: boolean): Followed {
  const { runs, met, end } = followed ?? { runs: [], met: [], end: null };
  return { runs, met, end: end ?? (stopped && !ended ? { why: "stopped", frame: at, number: 0 } : null) };
}

function progressOf(walks: readonly Walk[]) {
  const lengthOf = ({ way }: Walk) => Math.abs(way.to - way.seed.frame);
  const doneOf = (walk: Walk) => (walk.ended ? lengthOf(walk) : Math.abs(walk.at - walk.way.seed.frame));
  const sum = (of: (walk: Walk) => number) => walks.reduce((all, walk) => all + of(walk), 0);
  const [done, frames] = [sum(doneOf), Math.max(1, sum(lengthOf))];
  const names = [...new Set(walks.map(({ way }) => way.point))];
  const what = names.length === 1 ? `the ${names[0]}` : `${names.length} points`;
  return {
    fraction: done / frames,
    doing: `Following ${what}: ${done} of ${frames} frames`,
    reached: walks.map(({ at }) => at),
  };
}

function seedDamaged(clip: string, frame: number): FaultError {
  return new FaultError(
    "frame-damaged",
    `Frame ${frame} of ${clip}, which holds the mark to follow from, is damaged in the file.`,
    "Mark the point in a frame that can be shown, and follow from there; or copy the clip from the card again.",
  );
}
