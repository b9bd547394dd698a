import type { PxPoint } from "../quantity/point.ts";
import { CLIP_NOTICES } from "../results/notices/clip-notices.ts";
import { MARKS_NOTICES } from "../results/notices/marks-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { movedPictures } from "../scale/moved-pictures.ts";
import { type Shake, shake } from "../scale/shake.ts";
import type { SteadyPictures } from "../scale/steady-pictures.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { LensData, Mark, Movement } from "../session/schema.ts";
import { cameraSeen } from "./camera-look.ts";
import type { PictureOnPlane } from "./picture-plane.ts";

/** Camera movement taken out of a shot. */
export interface Steadying {
  /** Null where nothing is taken out. */
  readonly shake: SteadyPictures | null;
  /** What marked posts gave of it; null without. */
  readonly posts: Shake | null;
  /** What the still background gave of it, where that is what is taken out. */
  readonly movement: Movement | null;
  /** The movement is there and known to spoil every number. */
  readonly refused: boolean;
  readonly notices: readonly ShotNotice[];
}

/** Of a camera that is taken to stand still. */
export const STILL: Steadying = { shake: null, posts: null, movement: null, refused: false, notices: [] };

// rad, and relative zoom: what a hand or a stand in wind does within a clip. Common practice, no source.
const UNSEEN_TURN = 0.002;

/**
 * Finds the camera's movement: from the marks of posts, or else as the still background was followed. A clip
 * in which the camera was seen to move, and nothing takes that out, is refused: what it spoils cannot be told
 * from the marks.
 * @param facts null when the clip was not read
 */
export function steadying(
  filmed: Pick<FilmedShot, "shot" | "points" | "camera">,
  lens: Pick<PictureOnPlane, "straighten">,
  facts: ClipFacts | null,
): Steadying {
  const { shot, points, camera } = filmed;
  const posts = new Set(points.filter((point) => point.on === "post").map((point) => point.id));
  const ofPosts = shot.marks.filter((mark) => posts.has(mark.pointId));
  if (ofPosts.length > 0) {
    const others = shot.marks.filter((mark) => !posts.has(mark.pointId));
    return byPosts(ofPosts, others, lens);
  }
  if (shot.movement !== undefined) return byBackground(shot.movement, shot.marks, camera?.lens, facts);
  const seen = cameraSeen(shot, facts);
  if (seen === "unseen") return { ...STILL, notices: [CLIP_NOTICES["camera-unseen"]()] };
  if (seen?.moves !== true) return STILL;
  return { ...STILL, refused: true, notices: [CLIP_NOTICES["camera-moves"](seen.shiftPx)] };
}

function byPosts(
  ofPosts: readonly Mark[],
  others: readonly Mark[],
  lens: Pick<PictureOnPlane, "straighten">,
): Steadying {
  const found = shake({
    marks: ofPosts.map((mark) => ({
      postId: mark.pointId,
      frame: mark.frame,
      px: lens.straighten([mark.x, mark.y]),
      uPx: mark.u,
    })),
    frames: [...new Set(others.map((mark) => mark.frame))],
    referenceFrame: null,
    unseenTurnRad: UNSEEN_TURN,
    unseenZoom: UNSEEN_TURN,
  });
  if (!found.ok) return { ...STILL, notices: [MARKS_NOTICES[`shake-${found.code}`]()] };
  return { ...STILL, shake: found.value, posts: found.value, notices: shakeNotices(found.value) };
}

function shakeNotices({ unsupported, agreement, worst }: Shake): readonly ShotNotice[] {
  return [
    ...(unsupported.length > 0
      ? [MARKS_NOTICES["shake-unsupported"](unsupported.length, unsupported[0] as number)]
      : []),
    ...(agreement.agree ? [] : [MARKS_NOTICES["shake-disagrees"](worst.postId, worst.frame)]),
  ];
}

function byBackground(
  movement: Movement,
  marks: readonly Mark[],
  lens: LensData | undefined,
  facts: ClipFacts | null,
): Steadying {
  const [width, height] = movement.picturePx;
  const isOther = facts !== null && (facts.width !== width || facts.height !== height);
  if (isOther || !sameLens(movement.lens, lens))
    return { ...STILL, refused: true, notices: [CLIP_NOTICES["camera-followed-otherwise"]()] };
  const pictures = movedPictures(movement);
  const lost = [...new Set(marks.map(({ frame }) => frame))].filter((frame) => pictures.at(frame) === null);
  return {
    ...STILL,
    shake: pictures,
    movement,
    notices: [
      CLIP_NOTICES["camera-steadied"](greatestShiftPx(movement)),
      ...(lost.length > 0 ? [CLIP_NOTICES["camera-not-followed"](lost.length, Math.min(...lost))] : []),
    ],
  };
}

/** px, how far the middle of the picture moved at most. */
export function greatestShiftPx({ frames, picturePx }: Movement): number {
  const middle: PxPoint = [picturePx[0] / 2, picturePx[1] / 2];
  return frames.reduce((most, { corners }) => {
    const mean = (k: 0 | 1) => corners.reduce((sum, value, i) => (i % 2 === k ? sum + value / 4 : sum), 0);
    return Math.max(most, Math.hypot(mean(0) - middle[0], mean(1) - middle[1]));
  }, 0);
}

/** The lens as a movement notes it: null for none. */
export function lensNoted(lens: LensData | undefined): Movement["lens"] {
  if (lens === undefined) return null;
  const { focalPx, centrePx, k1, k2, k3, p1, p2 } = lens;
  return [focalPx, ...centrePx, k1, k2, k3, p1, p2];
}

function sameLens(noted: Movement["lens"], lens: LensData | undefined): boolean {
  const now = lensNoted(lens);
  if (noted === null || now === null) return noted === now;
  return noted.every((value, i) => value === now[i]);
}
