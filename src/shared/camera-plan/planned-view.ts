import type { PxPoint } from "../quantity/point.ts";
import type { ExpectedMotion } from "./expected-motion.ts";
import type { CameraPlanInput } from "./plan-input.ts";

/** What the planned camera sees of the expected shot. */
export interface PlannedView {
  /** m, width and height of the picture in the flight plane. */
  readonly fieldM: readonly [width: number, height: number];
  readonly scaleMPerPx: number;
  /** Where a point given by x forward and y up from the centre of gravity at rest is in the picture. */
  pixelOf(place: readonly [x: number, y: number]): PxPoint;
  /** Whether every marked point is in the picture from rest to release. */
  readonly pushFits: boolean;
  /** Whole frames after release until a marked point leaves the picture; at most MOST_FLIGHT. */
  readonly flightFramesInView: number;
  /** m, a width of picture that would hold the push and the flight to be marked. */
  readonly fieldThatWouldDoM: number;
}

// frames; a shot straight up in a wide picture comes down again before it leaves
export const MOST_FLIGHT = 1000;
const MARGIN = 0.05; // of the picture, between its edge and what it must hold: nobody aims closer
const STEPS = 64; // instants at which the push and the flight are looked at

/**
 * Aims the camera as a person would: square to the flight, level, the airframe at rest just inside the edge
 * it flies away from, push and flight up and down in the middle.
 */
export function plannedView(input: CameraPlanInput, motion: ExpectedMotion): PlannedView {
  const { widthPx, heightPx, captureRateHz } = input;
  const fieldWidthM =
    input.lens.by === "field" ? input.lens.fieldM : 2 * input.distanceM * Math.tan(input.lens.fieldRad / 2);
  const scale = fieldWidthM / widthPx;
  const flightS = input.flightFrames / captureRateHz.value;
  const box = boxOf(input, motion, motion.pushS + flightS);
  const left = MARGIN * widthPx - box.left / scale;
  const tall = (box.top - box.bottom) / scale;
  const fitsUpright = tall <= (1 - 2 * MARGIN) * heightPx;
  // Measured down from the top: the middle of what is seen in the middle, or, where it does not fit,
  // the start at the bottom.
  const ground = fitsUpright
    ? heightPx / 2 + (box.top + box.bottom) / 2 / scale
    : (1 - MARGIN) * heightPx + box.bottom / scale;
  const pixelOf = ([x, y]: readonly [number, number]): PxPoint => [left + x / scale, ground - y / scale];
  const seenAt = (timeS: number) =>
    pointPlaces(input, motion, timeS).every((place) => {
      const [x, y] = pixelOf(place);
      return x >= 0 && x <= widthPx && y >= 0 && y <= heightPx;
    });
  let flightFramesInView = 0;
  while (
    flightFramesInView < MOST_FLIGHT &&
    seenAt(motion.pushS + (flightFramesInView + 1) / captureRateHz.value)
  ) {
    flightFramesInView++;
  }
  return {
    fieldM: [fieldWidthM, scale * heightPx],
    scaleMPerPx: scale,
    pixelOf,
    pushFits: instants(motion.pushS).every(seenAt),
    flightFramesInView,
    fieldThatWouldDoM: Math.max(
      (box.right - box.left) / (1 - 2 * MARGIN),
      ((box.top - box.bottom) / (1 - 2 * MARGIN)) * (widthPx / heightPx),
    ),
  };
}

/** [points], m along and above the line of points from the balance point, foremost first. */
export function pointsOnBody({ points, spacingM }: CameraPlanInput): readonly (readonly [number, number])[] {
  return Array.from({ length: points }, (_, i) => [spacingM * (0.5 - i / (points - 1)), 0] as const);
}

function pointPlaces(
  input: CameraPlanInput,
  motion: ExpectedMotion,
  timeS: number,
): readonly (readonly [number, number])[] {
  const [x, y, pitch] = motion.poseAt(timeS);
  return pointsOnBody(input).map(([along]) => [x + along * Math.cos(pitch), y + along * Math.sin(pitch)]);
}

function boxOf(input: CameraPlanInput, motion: ExpectedMotion, untilS: number) {
  const places = instants(untilS).flatMap((timeS) => pointPlaces(input, motion, timeS));
  const [xs, ys] = [places.map(([x]) => x), places.map(([, y]) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) };
}

function instants(untilS: number): readonly number[] {
  return Array.from({ length: STEPS + 1 }, (_, i) => (untilS * i) / STEPS);
}
