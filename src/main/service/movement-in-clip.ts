import type { FrameView } from "../../shared/background/follow-background.ts";
import { movedFrames } from "../../shared/background/moved-frames.ts";
import { launchStretch } from "../../shared/measure/camera-look.ts";
import { lensNoted } from "../../shared/measure/steadying.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { LensData, Movement, Session, Shot } from "../../shared/session/schema.ts";
import type { Watching, Workers } from "../jobs/workers.ts";
import type { GreyFrame, Media, MediaOptions } from "../media/media.ts";

/** Which frames of a clip the background is followed through, and what it is brought to. */
export interface MovementOrder {
  readonly from: number;
  readonly to: number;
  readonly referenceFrame: number;
  /** Of the camera; null without a profile. */
  readonly lens: LensData | null;
}

/**
 * What is to be followed for a shot: the frames of its launch, brought to the frame that its scale was picked
 * in, where that is known.
 */
export function movementOrder({ cameras }: Session, shot: Shot, facts: ClipFacts): MovementOrder {
  const { from, to } = launchStretch(shot, facts.pts.length);
  const lens = cameras.find(({ id }) => id === shot.cameraId)?.lens ?? null;
  const picked = [shot.scale?.aFrame, shot.scale?.bFrame, shot.plumb?.topFrame, shot.plumb?.bottomFrame];
  const frames = picked.filter((frame) => frame !== undefined && frame < facts.pts.length) as number[];
  // A pick outside the launch is followed to, if it is not far.
  const near = frames.filter((frame) => frame > from - FAR && frame < to + FAR);
  return {
    from: Math.min(from, ...near),
    to: Math.max(to, ...near),
    referenceFrame: near[0] ?? from,
    lens,
  };
}

const FAR = 500; // frames; following them takes a minute
const LEAST_PLACES = 8; // in the first frame: as many as a fit needs

/**
 * Follows the still background through some frames of a clip, each as it is decoded; the pictures are looked
 * at in a thread. Frames in which it cannot be told, and damaged ones, are left out.
 * @throws FaultError "background-unseen" where too little stands still; as Media.grey does; or the signal's
 *   reason
 */
export async function movementInClip(
  media: Media,
  workers: Workers,
  path: string,
  facts: ClipFacts,
  { from, to, referenceFrame, lens }: MovementOrder,
  options: MediaOptions = {},
): Promise<Movement> {
  const picturePx: [number, number] = [facts.width, facts.height];
  const tell = (frame: number) =>
    options.onProgress?.({
      fraction: (frame - from) / Math.max(1, to - from),
      doing: `Following the background: frame ${frame}, ${frame - from} of ${to - from}`,
    });
  const frames = media.grey(path, facts, from, to, options);
  const views = await watched(workers, frames, lens, options.signal, tell);
  if (views.length < 2 || (views[0] as FrameView).still < LEAST_PLACES) throw backgroundUnseen(facts.name);
  const moved = movedFrames(views, referenceFrame, picturePx);
  const rows = moved.frames.map(({ frame, corners, u }) => ({
    frame,
    corners: [...corners],
    u: [...u] as [number, number],
  }));
  return { ...moved, picturePx, lens: lensNoted(lens ?? undefined), frames: rows };
}

/** The views of the frames that can be told, the first frame's among them. */
export async function watched(
  workers: Workers,
  frames: AsyncIterable<GreyFrame>,
  lens: LensData | null,
  signal: AbortSignal | undefined,
  tell: (frame: number) => void = () => {},
): Promise<readonly FrameView[]> {
  const views: FrameView[] = [];
  let watching: Watching | null = null;
  try {
    for await (const { index, image } of frames) {
      if (watching === null) {
        watching = await workers.watch({ frame: index, lens }, image, signal);
        views.push(watching.first);
      } else {
        const view = await watching.see(index, image);
        if (view !== null) views.push(view);
      }
      tell(index);
    }
  } finally {
    watching?.close();
  }
  return views;
}

function backgroundUnseen(clip: string): FaultError {
  return new FaultError(
    "background-unseen",
    `Too little in ${clip} stands still and has detail, so the camera's movement cannot be followed by it.`,
    "Mark posts, or anything else that stands still, in every frame of the launch.",
  );
}
