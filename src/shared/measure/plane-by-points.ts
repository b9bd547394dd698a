import type { PxPoint } from "../quantity/point.ts";
import { PLANE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import {
  type FittedPlane,
  fittedPlane,
  type KnownPoint,
  type PlaneRefusal,
  planeHomography,
} from "../scale/plane-homography.ts";
import { type BendAbout, bendLeftOut, type SeenBend, seenBend, straightened } from "../scale/unseen-bend.ts";
import type { ControlPoints, Shot } from "../session/schema.ts";
import type { FoundPoints, MovedPlane, Plane } from "./picture-plane.ts";

/** What is known of the picture that the points were picked in. */
export interface PictureSeen {
  /** Takes the lens out. */
  straighten(seen: PxPoint): PxPoint;
  readonly hasProfile: boolean;
  /** Where the camera looks straight ahead; null when not known. */
  readonly axisPx: PxPoint | null;
  /** px; null when not known. */
  readonly halfDiagonalPx: number | null;
}

/**
 * 1, of the distance from the centre at the picture's corner: what lenses of phones and cameras bend that
 * correct their pictures themselves. Common practice, no source.
 */
const USUAL_BEND_U = 0.01;
const BEND_SEEN_IN_U = 3; // one straight picture in 400 shows as much by chance

/**
 * The flight plane by known points; null when they do not give one.
 * @param moved what was decided of the stated points, where these are moved ones; null decides it
 */
export function planeByPoints(
  control: ControlPoints,
  direction: Shot["direction"],
  picture: PictureSeen,
  moved: MovedPlane | null,
  notices: ShotNotice[],
): Plane | null {
  const points = control.points.map(({ at, xM, yM }) => ({
    px: picture.straighten(at),
    uPx: control.uPx,
    metres: [xM, yM] as const,
    uM: control.uM,
  }));
  if (moved !== null) {
    const { found, by } = moved;
    if (found.points === null) return null;
    const { bend } = found.points;
    const plane = fittedPlane(points.map((one) => ({ ...one, px: straightened(bend, by.bend, one.px) })));
    return plane.ok ? planeOf(plane.value, control, direction, found, found.points, by.bend) : null;
  }
  const plane = planeHomography(points);
  if (!plane.ok) {
    notices.push(controlRefusal(plane.code, plane.numbers));
    return null;
  }
  const bend = bendAbout(points, picture);
  const seen = seenBend(points, bend);
  const strained = judged(plane.value, seen, bend, picture, notices);
  const found = { rodWeights: [], lineWeights: [] };
  const beyond = {
    scale: 0,
    plane: 0,
    rollRad: 0,
    bend: bendLeftOut(seen?.k ?? null, picture.hasProfile ? 0 : USUAL_BEND_U),
  };
  const ofPoints = {
    scatter: scatterOf(plane.value, seen),
    originM: middle(points.map((one) => one.metres)),
    bend,
    strained,
  };
  return planeOf(plane.value, control, direction, { ...found, beyond }, ofPoints, 0);
}

function planeOf(
  { map }: FittedPlane,
  control: ControlPoints,
  direction: Shot["direction"],
  found: Pick<Plane["found"], "rodWeights" | "lineWeights" | "beyond">,
  points: FoundPoints,
  bentBy: number,
): Plane {
  const way = direction === "right" ? 1 : -1;
  const at = middle(control.points.map((one) => one.at));
  const scale = map.localScale(at, [1, 0]);
  const { originM, bend } = points;
  return {
    by: "control",
    map: {
      toMetres: (px) => {
        const [x, y] = map.toMetres(straightened(bend, bentBy, px));
        return [way * (x - originM[0]), y - originM[1]];
      },
    },
    scale: { value: scale, u: scale * map.speedSystematic(at, [1, 0]) },
    rollRad: { value: 0, u: 0 },
    found: { ...found, points },
  };
}

function bendAbout(points: readonly KnownPoint[], { axisPx, halfDiagonalPx }: PictureSeen): BendAbout {
  const centrePx = axisPx ?? middle(points.map((one) => one.px));
  const farthest = Math.max(...points.map(({ px }) => Math.hypot(px[0] - centrePx[0], px[1] - centrePx[1])));
  return { centrePx, radiusPx: halfDiagonalPx ?? farthest };
}

/** How much more the points scatter than stated, beside what a bend of the picture explains. */
function scatterOf({ agreement }: FittedPlane, seen: SeenBend | null): number {
  if (seen === null) return Math.max(1, agreement.birge);
  return Math.max(1, Math.sqrt(seen.chiSquare / seen.degreesOfFreedom));
}

/** Whether something shows that the picture is no view of a plane; if so it is said. */
function judged(
  { agreement, rmsPx }: FittedPlane,
  seen: SeenBend | null,
  { radiusPx }: BendAbout,
  { hasProfile }: PictureSeen,
  notices: ShotNotice[],
): boolean {
  const bent = seen !== null && Math.abs(seen.k.value) > BEND_SEEN_IN_U * seen.k.u;
  if (bent) {
    notices.push(PLANE_NOTICES["plane-picture-bent"](Math.abs(seen.k.value) * radiusPx, rmsPx, hasProfile));
  } else if (!agreement.agree) {
    notices.push(PLANE_NOTICES["plane-points-strained"](rmsPx, agreement.birge));
  }
  return bent || !agreement.agree;
}

function middle(places: readonly (readonly [number, number])[]): [number, number] {
  return places.reduce<[number, number]>(
    ([x, y], at) => [x + at[0] / places.length, y + at[1] / places.length],
    [0, 0],
  );
}

function controlRefusal(code: PlaneRefusal, numbers: Readonly<Record<string, number>>): ShotNotice {
  const point = (numbers.point ?? 0) + 1;
  switch (code) {
    case "too-few-points":
      return PLANE_NOTICES["plane-too-few-points"](numbers.points ?? 0, numbers.needed ?? 4);
    case "points-disagree":
    case "horizon-between-points":
      return PLANE_NOTICES[`plane-${code}`](point);
    default:
      return PLANE_NOTICES[`plane-${code}`]();
  }
}
