import type { Followed } from "../../shared/follow/followed.ts";
import type { FollowOrder } from "../../shared/measure/follow-order.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { Following, Workers } from "../jobs/workers.ts";
import type { Media, MediaOptions } from "../media/media.ts";

/**
 * Follows a point through the frames of a clip, one after the other as they are decoded, until the order's
 * last frame or until the follower ends. Damaged frames are passed over: the follower expects the point by
 * the times of the frames, so that a gap is no step to it. The pictures are looked at in a thread; how far it
 * came is told after each frame.
 * @throws FaultError as Media.grey does, or the signal's reason; frame-damaged when
 *   the frame to follow from is
 */
export async function followInClip(
  media: Media,
  workers: Workers,
  path: string,
  facts: ClipFacts,
  { point, seed, hands, to, exposureShare }: Omit<FollowOrder, "clip">,
  options: MediaOptions = {},
): Promise<Followed> {
  const stampsS = timestampsS(facts);
  const frames = Math.abs(to - seed.frame);
  let following: Following | null = null;
  try {
    for await (const { index, image } of media.grey(path, facts, seed.frame, to, options)) {
      if (following === null) {
        if (index !== seed.frame) break;
        const start = { seed, hands, exposureShare, stampsS };
        following = await workers.follow(start, image, options.signal);
      } else {
        await following.see(index, image);
        const done = Math.abs(index - seed.frame);
        options.onProgress?.({
          fraction: done / frames,
          doing: `Following the ${point}: frame ${index}, ${done} of ${frames}`,
        });
      }
      if (following.ended) break;
    }
    if (following === null) throw seedDamaged(facts.name, seed.frame);
    return await following.followed();
  } finally {
    following?.close();
  }
}

function seedDamaged(clip: string, frame: number): FaultError {
  return new FaultError(
    "frame-damaged",
    `Frame ${frame} of ${clip}, which holds the mark to follow from, is damaged in the file.`,
    "Mark the point in a frame that can be shown, and follow from there; or copy the clip from the card again.",
  );
}
