import { carried } from "../numeric/covariance.ts";
import { type Anchor, anchorOf, fromAnchor, placed } from "./anchor.ts";
import type { Placing, Run } from "./follow-run.ts";
import type { FollowDoubt, FollowedMark, FollowRun, HandMet } from "./followed.ts";
import { shownScatter } from "./shown-scatter.ts";

/**
 * px; a match is never said to be better than this, whatever its residuals, where the run is too short to
 * show how its marks scatter. Where nothing but noise is left to code, a coder moves whole blocks by
 * quarter pixels and sends no correction: an error even within ±1/8 px, of sd 0.072 px, common to a block
 * of 16 x 16; a disc of 24 px spans about four. 0.072/√4 = 0.036. The spline's own bias, 1e-4 to 1e-2 px,
 * is small beside it. Source: ITU-T H.264, 8.4.1 (quarter-sample motion, also of HEVC); the sharing among
 * blocks is our own estimate, not published.
 */
export const FLOOR_PX = 0.036;
/**
 * px; the least where the scatter is shown: what lasts for many frames, as the error of a block that is not
 * sent again, does not show in it. On drawn clips of 0.5 to 8 Mbit/s errors about their mean are 0.01 to
 * 0.04 px.
 */
export const SHOWN_FLOOR_PX = 0.02;

const HALF_PX = 0.5; // a session's pixel counts from the corner, a sample from the middle
/** Likeness under which a mark is doubtful. */
export const UNLIKE = 0.9;
const LOOSE_PX = 0.2;

/** The hand marks of a run beside its anchor; the one it began at only where the others outvote it. */
export function metIn({ hands }: Run): readonly HandMet[] {
  const anchor = anchorOf(hands);
  return hands.flatMap((hand, i): HandMet[] => {
    const agrees = anchor.hands.includes(hand);
    if (i === 0 && agrees) return [];
    const { px, u } = fromAnchor(hand, anchor);
    return [{ frame: hand.frame, distancePx: px, distanceU: u, agrees, begins: false }];
  });
}

/** The marks of a run, at its anchor. */
export function runOf({ seed, hands, placings, repeats }: Run): FollowRun {
  const anchor = anchorOf(hands);
  const at = placings.map(({ warp }) => placed(warp, anchor.offset));
  const shown = shownScatter(placings.map(({ time }, i) => ({ x: at[i][0], y: at[i][1], time })));
  return {
    marks: placings.map((placing, i) => markOf(placing, anchor, repeats.has(placing.frame), shown[i])),
    radiusPx: seed.template.radius,
    handFrames: anchor.hands.map(({ frame }) => frame),
    commonU: anchor.u,
  };
}

function markOf(placing: Placing, anchor: Anchor, repeat: boolean, shown: number | null): FollowedMark {
  const { frame, likeness, renewals } = placing;
  const [x, y] = placed(placing.warp, anchor.offset);
  const u = uOf(placing, anchor, shown);
  const doubts: FollowDoubt[] = [];
  if (likeness < UNLIKE) doubts.push("unlike");
  if (u > LOOSE_PX) doubts.push("loose");
  if (placing.offCourse) doubts.push("off-course");
  if (placing.twin) doubts.push("twin");
  if (placing.afterGap) doubts.push("after-gap");
  return { frame, at: [x + HALF_PX, y + HALF_PX], u, likeness, repeat, renewals, doubts };
}

/**
 * px, of each coordinate: from the match's covariance at the anchor, root mean square of both axes, or what
 * the run's marks near it scatter by where that is more; with the floor.
 */
export function uOf({ warp, covariance }: Placing, { offset }: Anchor, shown: number | null = null): number {
  const [x, y] = placed({ ...warp, x: 0, y: 0 }, offset);
  const [xx, , yy] = carried([1, 0, -y, 0, 1, x], covariance, 3);
  const own = Math.sqrt((xx + yy) / 2);
  return shown === null ? Math.hypot(own, FLOOR_PX) : Math.max(own, shown, SHOWN_FLOOR_PX);
}
