import { createFollower } from "../../shared/follow/follow-point.ts";
import type { Followed } from "../../shared/follow/followed.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { FollowOrder } from "../../shared/shot/follow-order.ts";
import type { Media, MediaOptions } from "../media/media.ts";

/**
 * Follows a point through the frames of a clip, one after the other as they are decoded, until the order's last frame or until the follower
 * ends. Damaged frames are passed over: the follower expects the point by the times of the frames, so that a gap is no step to it. How far it
 * came is told after each frame.
 * @throws FaultError as Media.grey does; frame-damaged when the frame to follow from is
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
      if (index !== seed.frame) break;
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
  if (follower === null) throw seedDamaged(facts.name, seed.frame);
  return follower.followed();
}

function seedDamaged(clip: string, frame: number): FaultError {
  return new FaultError(
    "frame-damaged",
    `Frame ${frame} of ${clip}, which holds the mark to follow from, is damaged in the file.`,
    "Mark the point in a frame that can be shown, and follow from there; or copy the clip from the card again.",
  );
}
