import type { PxPoint } from "../quantity/point.ts";
import { PLANE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type PlaneRefusal, planeHomography } from "../scale/plane-homography.ts";
import type { ControlPoints, Shot } from "../session/schema.ts";
import { NOTHING_BEYOND, type Plane } from "./picture-plane.ts";

/** The flight plane by known points; null when they do not give one. */
export function planeByPoints(
  control: ControlPoints,
  direction: Shot["direction"],
  straighten: (seen: PxPoint) => PxPoint,
  notices: ShotNotice[],
): Plane | null {
  const fitted = planeHomography(
    control.points.map(({ at, xM, yM }) => ({
      px: straighten(at),
      uPx: control.uPx,
      metres: [xM, yM],
      uM: control.uM,
    })),
  );
  if (!fitted.ok) {
    notices.push(controlRefusal(fitted.code, fitted.numbers));
    return null;
  }
  const { map } = fitted.value;
  const way = direction === "right" ? 1 : -1;
  const middle = control.points.reduce<[number, number]>(
    ([x, y], { at }) => [x + at[0] / control.points.length, y + at[1] / control.points.length],
    [0, 0],
  );
  const scale = map.localScale(middle, [1, 0]);
  return {
    by: "control",
    map: {
      toMetres: (at) => {
        const [x, y] = map.toMetres(at);
        return [way * x, y];
      },
    },
    scale: { value: scale, u: scale * map.speedSystematic(middle, [1, 0]) },
    rollRad: { value: 0, u: 0 },
    found: { rodWeights: [], lineWeights: [], beyond: NOTHING_BEYOND },
  };
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
