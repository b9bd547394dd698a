import { type MeasuringSetUp, measuringSetUp } from "../measure/measuring-set-up.ts";
import { type LensOut, lensOutOf } from "../measure/picture-map-of.ts";
import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { Measurement } from "../results/shot-result.ts";
import type { PlanePlace } from "../scale/picture-map.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import { type KnownPlace, placeAt } from "./common-place.ts";
import { type Instant, type InstantsOf, launchInstant } from "./frames-in-time.ts";

/** How a camera's view of the flight plane is known. */
export type View = "square" | "turned" | "known points";

/** The pictures of a measured shot on its flight plane, and the places there that another may have too. */
export interface ShotOnPlane {
  readonly shotId: string;
  /** [width, height] */
  readonly picturePx: readonly [number, number];
  /** seen px <-> px with the lens taken out */
  readonly lens: LensOut;
  /** whether there is a lens to be taken out */
  readonly bends: boolean;
  /** Whether the camera's movement is taken out, so that each frame has a map of its own. */
  readonly moves: boolean;
  /**
   * The map of a frame, px with the lens taken out -> m; null in a frame that nothing ties to the others.
   * It throws UnseenPlaceError where the plane does not reach.
   */
  mapOf(frame: number): ((straight: PxPoint) => PlanePlace) | null;
  /** px, a place in that frame, or one near it, that is seen on the plane */
  seenNear(frame: number): PxPoint;
  /** m/px, with what a flight out of the plane of the scale may do to it */
  readonly scale: Measured;
  readonly view: View;
  /** Whether plumb, level or known points say what is upright. */
  readonly upright: boolean;
  readonly direction: "left" | "right";
  /** Names of the airframe's points, in the session's order. */
  readonly pointNames: readonly string[];
  /** Where a point of the airframe was at an instant. */
  airframeAt(pointName: string, instant: Instant): Result<KnownPlace, "no-marks" | "no-instant">;
  /** The middle of the scale rod, brought to the flight plane. */
  rod(): Result<KnownPlace, "no-rod">;
}

/** Null where the shot no longer has what it was measured by. */
export function shotOnPlane(
  filmed: FilmedShot,
  facts: ClipFacts,
  measurement: InstantsOf & Pick<Measurement, "quantities">,
): ShotOnPlane | null {
  const { setUp } = measuringSetUp(filmed, facts);
  if (setUp === null) return null;
  const { plane, steadying, shot } = setUp;
  const { shake } = steadying;
  const { scale, found, map, by } = plane;
  const turn = shot.setting?.turnRad.value ?? 0;
  const names = setUp.pointIds.map((id) => filmed.points.find((point) => point.id === id)?.name ?? id);
  return {
    shotId: shot.id,
    picturePx: [facts.width, facts.height],
    lens: found.lensUsed ? lensOutOf(filmed.camera?.lens) : lensOutOf(undefined),
    bends: found.lensUsed && filmed.camera?.lens !== undefined,
    moves: shake !== null,
    mapOf(frame) {
      if (shake === null) return (straight) => map.toMetres(straight);
      const still = shake.at(frame);
      return still === null ? null : (straight) => map.toMetres(still.steady(straight));
    },
    seenNear: (frame) => markNearest(setUp, frame),
    scale: {
      value: scale.value,
      u: scale.value * Math.hypot(scale.u / scale.value, found.beyond.plane),
    },
    view: by === "control" ? "known points" : turn === 0 ? "square" : "turned",
    upright: by === "control" || found.lineWeights.length > 0,
    direction: shot.direction,
    pointNames: names,
    airframeAt(pointName, instant) {
      const at = launchInstant(measurement, instant);
      if (at === null) return refuse("no-instant");
      const point = names.indexOf(pointName);
      const marks = setUp.marks
        .filter((mark) => mark.point === point)
        .map(({ timeS, lagS = 0, x, y, u }) => ({ timeS: timeS + lagS, x, y, u }));
      return placeAt(marks, instant, at, measurement.quantities.peakAcceleration?.value ?? 0);
    },
    rod: () => rodOf(setUp, [facts.width, facts.height]),
  };
}

/** px, where a point was marked in the marked frame that lies nearest. */
function markNearest({ sources, plane }: MeasuringSetUp, frame: number): PxPoint {
  const { x, y } = sources.reduce((best, mark) =>
    Math.abs(mark.frame - frame) < Math.abs(best.frame - frame) ? mark : best,
  );
  return plane.straighten([x, y]);
}

/**
 * The middle of the rod as it would be seen on the flight plane. A rod farther from the camera than the
 * flight by n is seen nearer to where the camera looks straight ahead, c: p = c + (q - c) D/(D - n), D its
 * distance.
 */
function rodOf({ shot, plane, filmed }: MeasuringSetUp, picturePx: PxPoint): Result<KnownPlace, "no-rod"> {
  if (shot.scale === null) return refuse("no-rod");
  const { a, b, uPx } = shot.scale;
  const onPlane = (px: PxPoint) => plane.map.toMetres(plane.straighten(px));
  const [p, q] = [onPlane(a), onPlane(b)];
  const ahead = onPlane(filmed.camera?.lens?.centrePx ?? [picturePx[0] / 2, picturePx[1] / 2]);
  const from = [(p[0] + q[0]) / 2 - ahead[0], (p[1] + q[1]) / 2 - ahead[1]] as const;
  const { setting } = shot;
  const [distanceM, { value, u }] = [setting?.distanceM.value ?? 1, setting?.nearerM ?? { value: 0, u: 0 }];
  const times = distanceM / (distanceM - value);
  const offU = Math.hypot(...from) * Math.hypot(u / distanceM, plane.found.beyond.plane);
  return ok({
    at: [ahead[0] + times * from[0], ahead[1] + times * from[1]],
    u: Math.hypot((uPx * plane.scale.value) / Math.SQRT2, offU), // the mean of two ends, picked apart
  });
}
