import { OFF_PLANE_U_M } from "../inputs/assumed-u.ts";
import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { combinedScale, type PlacedRod, scaleAtWeights } from "../scale/combined-scale.ts";
import { flightPlane } from "../scale/flight-plane.ts";
import { type ReferenceLine, rollAtWeights, rollFromLines } from "../scale/level.ts";
import { scaleOnFlightPlane } from "../scale/parallax.ts";
import { turnedPlane } from "../scale/turned-plane.ts";
import type { Scale, Shot } from "../session/schema.ts";
import { assumedDistanceM, rodLength, type SeenFrom } from "./assumed.ts";
import type { MovedPlane, Plane } from "./picture-plane.ts";

/** rad: a camera levelled by eye is within about a degree. Common practice, no source. */
export const UNPLUMBED_U = 0.0175;

/**
 * The flight plane by rods, plumb, level and setting; null when they do not hold together.
 * @param straighten takes the lens out
 * @param axisPx where the camera looks straight ahead; null when not known
 * @param from how far the camera stood, as far as it is known
 * @param moved how the stated inputs were combined, where these are moved ones; null finds it
 */
export function planeByRods(
  shot: Shot,
  straighten: (seen: PxPoint) => PxPoint,
  axisPx: PxPoint | null,
  from: SeenFrom,
  moved: MovedPlane | null,
  notices: ShotNotice[],
): Plane | null {
  const rods = [...(shot.scale === null ? [] : [shot.scale]), ...(shot.rods ?? [])];
  if (moved === null && rods.some(({ rodM }) => rodLength(rodM).assumed)) {
    notices.push(SCALE_NOTICES["rod-u-assumed"]());
  }
  const found = scaleOf(shot, rods, straighten, moved, notices);
  const roll = rollOf(shot, straighten, moved, notices);
  if (found === null || roll === null) return null;
  const offPlane = moved === null ? offPlaneOf(shot, found.scale.value, from, notices) : 0;
  const { scale } = found;
  const { rollRad } = roll;
  const plane = {
    by: "rods" as const,
    scale,
    rollRad,
    found: {
      rodWeights: found.weights,
      lineWeights: roll.weights,
      points: null,
      beyond: { scale: found.beyond, plane: offPlane, rollRad: roll.beyond, bend: 0 },
    },
  };
  const flat = flightPlane(scale.value, rollRad.value, "right");
  const way = shot.direction === "right" ? 1 : -1;
  const mirrored = ([x, y]: readonly [number, number]): readonly [number, number] => [way * x, y];
  const { setting } = shot;
  if (setting === undefined || (setting.turnRad.value === 0 && setting.turnRad.u === 0)) {
    return { ...plane, map: { toMetres: (at) => mirrored(flat.toMetres(at)) } };
  }
  // The turn is seen in perspective about the optical axis; where that is not known it is
  // taken as seen from afar.
  const pivot = flat.toMetres(rodMiddle(rods, straighten));
  const centre = axisPx === null ? pivot : flat.toMetres(axisPx);
  const turned = turnedPlane({
    turnRad: setting.turnRad,
    distanceM: axisPx === null ? null : setting.distanceM,
    pivotM: pivot[0] - centre[0],
  });
  if (!turned.ok) {
    notices.push(SCALE_NOTICES[turned.code]());
    return null;
  }
  return {
    ...plane,
    map: {
      toMetres: (at) => {
        const [x, y] = flat.toMetres(at);
        return mirrored(turned.value.toPlane([x - centre[0], y - centre[1]]));
      },
    },
  };
}

/** 1, of every length: what is assumed of a flight whose place nobody stated. */
function offPlaneOf({ setting }: Shot, scale: number, from: SeenFrom, notices: ShotNotice[]): number {
  if (setting !== undefined) return 0;
  const distanceM = assumedDistanceM(scale, from);
  const share = OFF_PLANE_U_M / distanceM;
  notices.push(SCALE_NOTICES["off-plane-assumed"](1000 * OFF_PLANE_U_M, distanceM, share));
  return share;
}

function rodMiddle([rod]: readonly Scale[], straighten: (seen: PxPoint) => PxPoint): PxPoint {
  if (rod === undefined) return [0, 0];
  const [a, b] = [straighten(rod.a), straighten(rod.b)];
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

interface Combined {
  readonly weights: readonly number[];
  /** Standard uncertainty beyond what the inputs bring; of the scale relative, of the roll rad. */
  readonly beyond: number;
}

function scaleOf(
  shot: Shot,
  rods: readonly Scale[],
  straighten: (seen: PxPoint) => PxPoint,
  moved: MovedPlane | null,
  notices: ShotNotice[],
): (Combined & { readonly scale: Measured }) | null {
  const { setting } = shot;
  if (rods.some(({ rodM }) => !(rodM.value > 0)) || !((setting?.distanceM.value ?? 1) > 0)) {
    notices.push(SCALE_NOTICES["no-scale"]("no-length"));
    return null;
  }
  const placed = rods.map(({ a, b, uPx, rodM }) => ({
    a: straighten(a),
    b: straighten(b),
    uPx,
    rodM: rodLength(rodM),
    sameRod: null,
  }));
  const combined = moved === null ? combinedRods(placed, notices) : rodsAsFound(placed, moved);
  if (combined === null || setting === undefined) return combined;
  const onPlane = scaleOnFlightPlane(combined.scale, setting.distanceM, setting.nearerM);
  if (onPlane.ok) return { ...combined, scale: onPlane.value };
  notices.push(SCALE_NOTICES[onPlane.code]());
  return null;
}

function combinedRods(placed: readonly PlacedRod[], notices: ShotNotice[]): ReturnType<typeof scaleOf> {
  const combined = combinedScale(placed);
  if (!combined.ok) {
    notices.push(scaleRefusal(combined.code, combined.numbers));
    return null;
  }
  const { scale, statedU, weights, agreement, spread, rods } = combined.value;
  if (!agreement.agree) {
    const sizes = rods.map(({ deviation }) => Math.abs(deviation));
    // Of two rods neither is nearer: both lie off by as many of their own uncertainties.
    const farthest = rods.length > 2 ? sizes.indexOf(Math.max(...sizes)) : null;
    notices.push(SCALE_NOTICES["rods-differ"](spread, scale.u / scale.value, farthest));
  }
  return { scale, weights, beyond: rootLeft(scale.u, statedU) / scale.value };
}

function rodsAsFound(placed: readonly PlacedRod[], { found, by }: MovedPlane): ReturnType<typeof scaleOf> {
  const atWeights = scaleAtWeights(placed, found.rodWeights);
  if (atWeights === null) return null;
  const value = atWeights * (1 + by.scale) * (1 + by.plane);
  if (!(value > 0)) return null; // moved by more than the scale itself
  return {
    scale: { value, u: 0 },
    weights: found.rodWeights,
    beyond: found.beyond.scale,
  };
}

function rollOf(
  shot: Shot,
  straighten: (seen: PxPoint) => PxPoint,
  moved: MovedPlane | null,
  notices: ShotNotice[],
): (Combined & { readonly rollRad: Measured }) | null {
  const lines: ReferenceLine[] = [];
  if (shot.plumb !== null) {
    const { top, bottom, uPx, hangRad } = shot.plumb;
    lines.push({ kind: "plumb", a: straighten(top), b: straighten(bottom), uPx, trueRad: hangRad });
  }
  if (shot.level !== undefined) {
    const { left, right, uPx, tiltRad } = shot.level;
    lines.push({ kind: "level", a: straighten(left), b: straighten(right), uPx, trueRad: tiltRad });
  }
  if (moved === null) return combinedLines(lines, notices);
  const { lineWeights, beyond } = moved.found;
  const value = lineWeights.length === 0 ? 0 : rollAtWeights(lines, lineWeights);
  if (value === null) return null;
  return {
    rollRad: { value: value + moved.by.rollRad, u: 0 },
    weights: lineWeights,
    beyond: beyond.rollRad,
  };
}

function combinedLines(lines: readonly ReferenceLine[], notices: ShotNotice[]): ReturnType<typeof rollOf> {
  const roll = rollFromLines(lines);
  if (!roll.ok) {
    notices.push(rollWarning(roll.code, roll.numbers));
    return { rollRad: { value: 0, u: UNPLUMBED_U }, weights: [], beyond: UNPLUMBED_U };
  }
  const { rollRad, statedU, weights, agreement, lines: each } = roll.value;
  if (!agreement.agree) {
    const all = each.map((one) => one.rollRad.value);
    const apart = Math.max(...all) - Math.min(...all);
    notices.push(SCALE_NOTICES["plumb-and-level-disagree"](apart, rollRad.u));
  }
  return { rollRad, weights, beyond: rootLeft(rollRad.u, statedU) };
}

/** What is left of a standard uncertainty when a part of it is taken out. */
function rootLeft(whole: number, part: number): number {
  return Math.sqrt(Math.max(0, whole ** 2 - part ** 2));
}

type Numbers = Readonly<Record<string, number>>;

function scaleRefusal(code: "no-rods" | "too-close" | "rods-disagree", numbers: Numbers): ShotNotice {
  switch (code) {
    case "no-rods":
      return SCALE_NOTICES["no-scale"](code);
    case "too-close":
      return SCALE_NOTICES["scale-too-close"](numbers.separationPx ?? 0, numbers.neededPx ?? 0);
    case "rods-disagree":
      return SCALE_NOTICES["rods-disagree"](numbers.spread ?? 0, numbers.rod ?? 0);
  }
}

function rollWarning(code: "no-lines" | "too-close", numbers: Numbers): ShotNotice {
  return code === "no-lines"
    ? SCALE_NOTICES["no-plumb"]()
    : SCALE_NOTICES["plumb-too-close"](numbers.separationPx ?? 0, numbers.neededPx ?? 0);
}
