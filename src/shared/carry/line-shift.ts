import { boxAround, type GreyImage } from "../follow/grey-image.ts";
import { type CubicSpline, cubicSpline, isInside, valueAt } from "../numeric/cubic-spline.ts";
import type { PxPoint } from "../quantity/point.ts";

/** A piece of a line in a picture, samples: one end of the piece, and the direction it goes on in, rad. */
export interface LinePiece {
  readonly from: PxPoint;
  readonly alongRad: number;
}

/** By how much a line lies across from where it is expected. */
export interface LineShift {
  /** Samples, towards the right of its direction as the picture shows it. */
  readonly across: number;
  /** Standard uncertainty, from what the two profiles differ by. */
  readonly u: number;
}

const LENGTH = 24; // samples of the line that are averaged: noise sinks by five, and no end shows
const HALF = 10; // samples to either side of the line that its profile is taken over
const REACH = 5; // samples that it is looked for to either side
const STEP = 0.25; // samples from place to place that is tried
const LEAST_CONTRAST = 6; // grey levels of the averaged profile; less is shading
const LEAST_LIKENESS = 0.85;
const SPREAD = 2; // errors of neighbouring samples go together after coding
const TERMS = 3; // place, gain, bias

/**
 * How far a line has moved across, from the mean profile across it in two pictures: the shift at which they
 * are most alike, light apart. A line's picture fixes no more than that.
 * @returns why not: its profile shows nothing; nothing near is like it; the picture ends
 */
export function lineShift(
  former: GreyImage,
  piece: LinePiece,
  now: GreyImage,
  expected: LinePiece,
): LineShift | "no-detail" | "not-found" | "outside" {
  const before = profileOf(former, piece, HALF, 1);
  const after = profileOf(now, expected, HALF + REACH + 1, STEP);
  if (before === null || after === null) return "outside";
  if (Math.max(...before) - Math.min(...before) < LEAST_CONTRAST) return "no-detail";
  const steps = REACH / STEP;
  const likenesses = Array.from(
    { length: 2 * steps + 1 },
    (_, i) => fitAt(before, after, i - steps).likeness,
  );
  const best = likenesses.indexOf(Math.max(...likenesses));
  const [left, middle, right] = [likenesses[best - 1], likenesses[best] ?? 0, likenesses[best + 1]];
  if (left === undefined || right === undefined || middle < LEAST_LIKENESS) return "not-found";
  const bend = left - 2 * middle + right;
  const fraction = bend < 0 ? (left - right) / (2 * bend) : 0;
  const { gain, left: squares } = fitAt(before, after, best - steps);
  const slopes = before.slice(1).reduce((sum, one, i) => sum + (one - (before[i] ?? one)) ** 2, 0);
  const variance = (SPREAD * squares) / (before.length - TERMS) / (gain ** 2 * slopes);
  return { across: (best - steps + fraction) * STEP, u: Math.sqrt(variance) };
}

/**
 * Mean grey levels along a piece of line, at places across it from -half to half; null outside the picture.
 */
function profileOf(
  image: GreyImage,
  { from: [x, y], alongRad }: LinePiece,
  half: number,
  step: number,
): Float64Array | null {
  const [dx, dy] = [Math.cos(alongRad), Math.sin(alongRad)];
  const middle: PxPoint = [x + (dx * LENGTH) / 2, y + (dy * LENGTH) / 2];
  const box = boxAround(image, middle, LENGTH + half);
  if (box === null) return null;
  const spline = cubicSpline(image, box);
  const count = Math.round((2 * half) / step) + 1;
  const profile = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const mean = meanAlong(spline, [x, y], [dx, dy], i * step - half);
    if (mean === null) return null;
    profile[i] = mean;
  }
  return profile;
}

function meanAlong(spline: CubicSpline, [x, y]: PxPoint, [dx, dy]: PxPoint, across: number): number | null {
  let sum = 0;
  for (let t = 0; t < LENGTH; t++) {
    const [px, py] = [x + t * dx - across * dy, y + t * dy + across * dx];
    if (!isInside(spline, px, py)) return null;
    sum += valueAt(spline, px, py);
  }
  return sum / LENGTH;
}

/** Least squares of now = gain · before + bias with the line moved by so many steps. */
function fitAt(before: Float64Array, after: Float64Array, shift: number) {
  const n = before.length;
  const middle = (after.length - 1) / 2 + shift;
  let [sa, sb, aa, bb, ab] = [0, 0, 0, 0, 0];
  before.forEach((a, i) => {
    const b = after[middle + (i - HALF) / STEP] ?? 0;
    sa += a;
    sb += b;
    aa += a * a;
    bb += b * b;
    ab += a * b;
  });
  const [va, vb, cov] = [aa - (sa * sa) / n, bb - (sb * sb) / n, ab - (sa * sb) / n];
  const gain = va > 0 ? cov / va : 0;
  const likeness = va > 0 && vb > 0 ? cov / Math.sqrt(va * vb) : 0;
  return { likeness, gain, left: Math.max(0, vb - gain * cov) };
}
