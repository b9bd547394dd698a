import type { PxPoint } from "../quantity/point.ts";
import { type Homography8, project, unproject } from "../scale/homography-map.ts";
import { cornersOf, type MovedFrame, type MovedFrames } from "../scale/moved-pictures.ts";
import type { FrameView } from "./follow-background.ts";

/**
 * The views of a followed background as places of the picture's corners, brought to one of its frames.
 * @param views of some frames, in the order they were followed; the first is the follower's own reference
 * @param referenceFrame the frame to bring them to; the nearest that was followed where it was not
 * @returns with px that the whole may be off by from its first frame to its last
 */
export function movedFrames(
  views: readonly FrameView[],
  referenceFrame: number,
  picturePx: readonly [number, number],
): MovedFrames & { readonly inheritedPx: number } {
  const [first] = views;
  if (first === undefined) throw new RangeError("movedFrames: no frame was followed");
  const distance = ({ frame }: FrameView) => Math.abs(frame - referenceFrame);
  const to = views.reduce((best, view) => (distance(view) < distance(best) ? view : best), first);
  return {
    referenceFrame: to.frame,
    picturePx,
    inheritedPx: rounded(Math.max(...views.map(({ inheritedPx }) => inheritedPx))),
    frames: views.map((view) => movedFrame(view, to, picturePx)).sort((a, b) => a.frame - b.frame),
  };
}

function movedFrame(view: FrameView, to: FrameView, picturePx: readonly [number, number]): MovedFrame {
  const same = view === to;
  const corners = cornersOf(IDENTITY, picturePx);
  const seen = [0, 2, 4, 6].flatMap((i) => {
    const corner: PxPoint = [corners[i], corners[i + 1]];
    return same ? corner : project(view.map, unproject(to.map, corner).at).at;
  });
  const u = (mine: number, its: number) => (same ? 0 : rounded(Math.hypot(mine, its)));
  return {
    frame: view.frame,
    corners: seen.map(rounded),
    u: [u(view.uMiddlePx, to.uMiddlePx), u(view.uCornerPx, to.uCornerPx)],
  };
}

const IDENTITY: Homography8 = [1, 0, 0, 0, 1, 0, 0, 0];

/** To a thousandth of a pixel, a thirtieth of the least uncertainty. */
function rounded(px: number): number {
  return Math.round(px * 1000) / 1000;
}
