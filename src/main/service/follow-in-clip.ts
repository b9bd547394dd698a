import type { Followed } from "../../shared/follow/followed.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { FollowOrder } from "../../shared/shot/follow-order.ts";
import type { Following, Workers } from "../jobs/workers.ts";
import type { Media, MediaOptions } from "../media/media.ts";

/**
 * Follows a point through the frames of a clip, one after the other as they are decoded, until the order's last frame or until the follower
 * ends. The pictures are looked at in a thread; how far it came is told after each frame.
 * @throws FaultError as Media.grey does, or the signal's reason
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
    return (await following?.followed()) ?? { runs: [], met: [], end: null };
  } finally {
    following?.close();
  }
}
