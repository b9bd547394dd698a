import { boxAround, type GreyImage } from "../follow/grey-image.ts";
import { cubicSpline } from "../numeric/cubic-spline.ts";
import type { PxPoint } from "../quantity/point.ts";
import { type Candidate, crossCandidates, quarterCandidates } from "./ring-candidates.ts";
import { type SymmetricCentre, symmetricCentre } from "./symmetric-centre.ts";
import { crossOutline, quarteredOutline } from "./target-outline.ts";

/** A target with four quarters, or a cross of four bars, found in a picture. */
export interface FoundTarget {
  readonly kind: "quarters" | "cross";
  /** Its middle, px of the upright picture. */
  readonly at: PxPoint;
  /** Standard uncertainty of each coordinate, px, from the picture. */
  readonly uPx: number;
  /** px, how far it reaches. */
  readonly radiusPx: number;
}

const LEAST_CONTRAST = 24; // grey levels: below it shading and texture pass for targets
const CORE = 5; // samples, the disc a target must be alike in
const LEAST_HALF = 0.85; // correlation with itself turned by half a turn: noise of a sixth of its contrast
const QUARTERS_TURNED = -0.6; // by a quarter turn dark and light change places
const CROSS_TURNED = 0.75; // by a quarter turn a cross is the same
const INNER = 0.8; // of the radius: what lies behind a target is not to place it
const OVERLAP = 1.8; // radii: three middles nearer than that belong to a board or a wall
const SAME_PX = 3;

/**
 * The targets in a picture, each with its middle to a fraction of a pixel; none is presumed to mean
 * anything.
 */
export function findTargets(image: GreyImage): readonly FoundTarget[] {
  const found = [
    ...quarterCandidates(image, LEAST_CONTRAST).flatMap((one) => confirmed(image, one, "quarters")),
    ...crossCandidates(image, LEAST_CONTRAST).flatMap((one) => confirmed(image, one, "cross")),
  ];
  const single = found.filter((one, i) => !found.slice(0, i).some((other) => apart(one, other) < SAME_PX));
  return single.filter((one) => {
    const near = single.filter(
      (other) => other !== one && apart(one, other) < OVERLAP * Math.min(one.radiusPx, other.radiusPx),
    );
    return near.length === 0 || (near.length === 1 && one.radiusPx > near[0].radiusPx);
  });
}

function apart({ at: [ax, ay] }: FoundTarget, { at: [bx, by] }: FoundTarget): number {
  return Math.hypot(ax - bx, ay - by);
}

function confirmed(image: GreyImage, { x, y }: Candidate, kind: FoundTarget["kind"]): readonly FoundTarget[] {
  const core = symmetricCentre(image, [x, y], CORE);
  if (core === null || !isOf(kind, core)) return [];
  const box = boxAround(image, [core.x, core.y], 64);
  if (box === null) return [];
  const spline = cubicSpline(image, box);
  const outline = (kind === "quarters" ? quarteredOutline : crossOutline)(spline, core.x, core.y);
  if (outline === null || outline.contrast < LEAST_CONTRAST) return [];
  // all of the target places it, and clutter that looks like the middle of one is not alike that far out
  const whole = symmetricCentre(image, [core.x, core.y], Math.max(CORE, Math.floor(INNER * outline.radius)));
  if (whole === null || !isOf(kind, whole)) return [];
  const { x: cx, y: cy, uPx } = whole;
  return [{ kind, at: [cx + 0.5, cy + 0.5], uPx, radiusPx: outline.radius }];
}

function isOf(kind: FoundTarget["kind"], { likeHalfTurn, likeQuarterTurn }: SymmetricCentre): boolean {
  if (likeHalfTurn < LEAST_HALF) return false;
  return kind === "quarters" ? likeQuarterTurn <= QUARTERS_TURNED : likeQuarterTurn >= CROSS_TURNED;
}
