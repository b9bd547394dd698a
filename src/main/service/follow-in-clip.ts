import { createFollower } from "../../shared/follow/follow-point.ts";
import type { Followed } from "../../shared/follow/followed.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { FollowOrder } from "../../shared/shot/follow-order.ts";
import type { Media, MediaOptions } from "../media/media.ts";

/**
 * Follows a point through the frames of a clip, one after the other as they are decoded, until the order's last frame or until the follower
 * ends. How far it came is told after each frame.
 * @throws FaultError as Media.grey does
 */
export async function followInClip(
  media: Media,
  path: string,
  facts: ClipFacts,
  { point, seed, hands, to, exposureShare }: FollowOrder,
  options: MediaOptions = {},
): Promise<Followed> {
  const stamps = timestampsS(facts);
  const frames = Math.abs(to - seed.frame);
  let follower: ReturnType<typeof createFollower> | null = null;
  for await (const { index, image } of media.grey(path, facts, seed.frame, to, options)) {
    if (follower === null) {
      follower = createFollower(image, seed, hands, {
        exposureShare,
        timeOf: (frame) => stamps[frame] ?? frame,
      });
      if (follower.followed().end !== null) break;
      continue;
    }
    if (follower.see(index, image) !== null) break;
    const done = Math.abs(index - seed.frame);
    options.onProgress?.({
      fraction: done / frames,
      doing: `Following the ${point}: frame ${index}, ${done} of ${frames}`,
    });
    // The picture is worked through without a pause: others of this process get their turn between two.
    await new Promise((resolve) => setImmediate(resolve));
  }
  return follower?.followed() ?? { runs: [], met: [], end: null };
}
