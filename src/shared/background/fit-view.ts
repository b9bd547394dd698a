import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import { carried } from "../numeric/covariance.ts";
import { createChance } from "../quantity/chance.ts";
import type { PxPoint } from "../quantity/point.ts";
import type { Homography8 } from "../scale/homography-map.ts";

/** A still place as it lies in the reference picture, and where a frame shows it; px. */
export interface SeenPlace {
  readonly reference: PxPoint;
  readonly seen: PxPoint;
  /** px, standard uncertainty of each coordinate of `seen`. */
  readonly u: number;
}

/** How a frame shows the still scene. */
export interface FittedView {
  /** px in the reference picture -> px in the frame. */
  readonly map: Homography8;
  /** px, standard uncertainty of where the frame shows a place: the root mean square of both coordinates. */
  uAt(reference: PxPoint): number;
  /** 0 to 1 for each place: 0 for one that does not move with the others. */
  readonly weights: Float64Array;
  /** px, root mean square in each coordinate that the places which count are off by. */
  readonly leftPx: number;
}

const TERMS = 8;
const LEAST_PLACES = 8;
const LEAST_STILL = 0.4; // of the places: less is no scene that stands still
// Of the picture's width or height, that the places which count reach over: before a plain sky or wall the
// airframe has most of the corners, and its flight would pass for the camera's. Common practice, no source.
const LEAST_SPAN = 0.4;
const PAIRS = 80; // drawn to begin with: with four still places in ten all are spoilt once in a million
const ROUNDS = 15;
const SETTLED = 1e-8; // of the half diagonal: a hundred-thousandth of a pixel
const TUKEY = 4.685; // 95 % efficient for normal errors: Holland & Welsch, Commun. Stat. A 6:813 (1977)
const PER_MEDIAN = 1.1774; // median length of an error in the plane over its sd along an axis
/*
 * What a camera that turns by an angle bends a picture beyond shift, turn and zoom, for its shift s and focal
 * length f, all over the half diagonal: in the two terms of perspective s/f², in those of stretch and shear
 * half its square. f is 1.3 for a usual phone and 0.8 for a wide one: 1/f² is 1.5 at most.
 */
const BENT = 1.5;
const LEAST_BENT = 2e-5; // a fiftieth of a pixel at the corners
const SEED = 71;

/**
 * The map from the reference picture to a frame: shift, turn and zoom, and what a camera that turns about
 * its centre bends besides, which is held to what its shift can bring (a prior of mean 0). So a camera that
 * shakes is fitted with four terms and a pan with eight, without a border between the two. Begun at
 * the best of many pairs of places, then fitted with Tukey's biweight: what moves against the scene does not
 * count.
 * @param picturePx [width, height]
 * @returns null where too few places move together, or these lie close together
 */
export function fitView(
  places: readonly SeenPlace[],
  picturePx: readonly [number, number],
): FittedView | null {
  if (places.length < LEAST_PLACES) return null;
  const frame = { centre: [picturePx[0] / 2, picturePx[1] / 2] as const, half: Math.hypot(...picturePx) / 2 };
  const scaled = places.map((place) => scaledPlace(place, frame));
  const weights = new Float64Array(places.length).fill(1);
  let terms = startOf(scaled);
  let covariance: Float64Array = new Float64Array(TERMS * TERMS);
  for (let round = 0; round < ROUNDS; round++) {
    const off = scaled.map((one) => offOf(one, terms));
    const scale = reweigh(weights, scaled, off);
    const step = stepOf(scaled, off, weights, scale, terms);
    if (step === null) return null;
    terms = terms.map((term, k) => term + step.by[k]);
    covariance = step.covariance;
    if (step.by.every((by) => Math.abs(by) < SETTLED)) break;
  }
  const still = weights.filter((weight) => weight > 0).length;
  if (still < LEAST_PLACES || still < LEAST_STILL * places.length) return null;
  if (!spans(places, weights, picturePx)) return null;
  const { centre, half } = frame;
  return {
    map: inPixels(terms, frame),
    uAt: ([x, y]) => {
      const j = gradients((x - centre[0]) / half, (y - centre[1]) / half, terms);
      const [xx, , yy] = carried(j, covariance, TERMS);
      return half * Math.sqrt((xx + yy) / 2);
    },
    weights,
    leftPx: half * rootMeanSquare(scaled, terms, weights),
  };
}

/** Whether the places that count reach over enough of the picture to be its background. */
function spans(
  places: readonly SeenPlace[],
  weights: Float64Array,
  picturePx: readonly [number, number],
): boolean {
  const counted = places.filter((_, i) => weights[i] > 0);
  return ([0, 1] as const).some((axis) => {
    const along = counted.map(({ reference }) => reference[axis]);
    return Math.max(...along) - Math.min(...along) >= LEAST_SPAN * picturePx[axis];
  });
}

interface Frame {
  readonly centre: PxPoint;
  readonly half: number;
}

/** A place about the picture's middle, over the half diagonal. */
interface Scaled {
  readonly X: number;
  readonly Y: number;
  readonly x: number;
  readonly y: number;
  readonly u: number;
}

/**
 * a, b, tx, ty, c, d, g, h: x = ((1 + a + c) X + (d - b) Y + tx)/w, y = ((b + d) X + (1 + a - c) Y + ty)/w,
 * w = 1 + g X + h Y.
 */
type Terms = readonly number[];

function scaledPlace({ reference, seen, u }: SeenPlace, { centre, half }: Frame): Scaled {
  return {
    X: (reference[0] - centre[0]) / half,
    Y: (reference[1] - centre[1]) / half,
    x: (seen[0] - centre[0]) / half,
    y: (seen[1] - centre[1]) / half,
    u: u / half,
  };
}

function seenAt(X: number, Y: number, [a, b, tx, ty, c, d, g, h]: Terms): readonly [number, number, number] {
  const w = 1 + g * X + h * Y;
  return [((1 + a + c) * X + (d - b) * Y + tx) / w, ((b + d) * X + (1 + a - c) * Y + ty) / w, w];
}

function offOf({ X, Y, x, y }: Scaled, terms: Terms): readonly [number, number] {
  const [px, py] = seenAt(X, Y, terms);
  return [x - px, y - py];
}

/** d(x, y)/d(terms), [2*8] row by row. */
function gradients(X: number, Y: number, terms: Terms): readonly number[] {
  const [x, y, w] = seenAt(X, Y, terms);
  const ofX = [X, -Y, 1, 0, X, Y, -x * X, -x * Y];
  const ofY = [Y, X, 0, 1, -Y, X, -y * X, -y * Y];
  return [...ofX, ...ofY].map((value) => value / w);
}

/** Shift, turn and zoom by the pair of places that brings most others nearest. */
function startOf(places: readonly Scaled[]): Terms {
  const chance = createChance(SEED);
  const draw = () => places[Math.min(places.length - 1, Math.floor(chance.uniform() * places.length))];
  let best = { median: Number.POSITIVE_INFINITY, terms: [0, 0, 0, 0, 0, 0, 0, 0] as Terms };
  for (let pair = 0; pair < PAIRS; pair++) {
    const terms = similarityOf(draw(), draw());
    if (terms === null) continue;
    const sizes = places.map((one) => Math.hypot(...offOf(one, terms))).sort((a, b) => a - b);
    const median = sizes[Math.floor(LEAST_STILL * sizes.length)];
    if (median < best.median) best = { median, terms };
  }
  return best.terms;
}

const LEAST_APART = 0.1; // of the half diagonal

function similarityOf(p: Scaled, q: Scaled): Terms | null {
  const [X, Y, x, y] = [q.X - p.X, q.Y - p.Y, q.x - p.x, q.y - p.y];
  const apart = X * X + Y * Y;
  if (apart < LEAST_APART ** 2) return null;
  const [cos, sin] = [(X * x + Y * y) / apart, (X * y - Y * x) / apart];
  return [cos - 1, sin, p.x - cos * p.X + sin * p.Y, p.y - sin * p.X - cos * p.Y, 0, 0, 0, 0];
}

/** Weighs every place by how far it is off. @returns what still places scatter by in their u, at least 1 */
function reweigh(
  weights: Float64Array,
  places: readonly Scaled[],
  off: readonly (readonly [number, number])[],
): number {
  const sizes = off.map(([dx, dy], i) => Math.hypot(dx, dy) / places[i].u);
  const middle = [...sizes].sort((a, b) => a - b)[sizes.length >> 1];
  const scale = Math.max(1, middle / PER_MEDIAN);
  sizes.forEach((size, i) => {
    const z = size / (TUKEY * scale);
    weights[i] = z < 1 ? (1 - z * z) ** 2 : 0;
  });
  return scale;
}

function stepOf(
  places: readonly Scaled[],
  off: readonly (readonly [number, number])[],
  weights: Float64Array,
  scale: number,
  terms: Terms,
): { readonly by: Float64Array; readonly covariance: Float64Array } | null {
  const normal = new Float64Array(TERMS * TERMS);
  const right = new Float64Array(TERMS);
  const shift = Math.hypot(terms[2], terms[3]);
  const held = [BENT * shift * shift, BENT * shift * shift, BENT * shift, BENT * shift];
  held.forEach((sd, k) => {
    const weight = 1 / (sd + LEAST_BENT) ** 2;
    normal[(4 + k) * (TERMS + 1)] += weight;
    right[4 + k] -= weight * terms[4 + k];
  });
  places.forEach(({ X, Y, u }, i) => {
    const weight = weights[i] / (scale * u) ** 2;
    if (weight === 0) return;
    const j = gradients(X, Y, terms);
    for (let axis = 0; axis < 2; axis++) {
      for (let p = 0; p < TERMS; p++) {
        const jp = j[axis * TERMS + p];
        right[p] += weight * jp * off[i][axis];
        for (let q = 0; q <= p; q++) normal[p * TERMS + q] += weight * jp * j[axis * TERMS + q];
      }
    }
  });
  if (choleskyInPlace(normal, TERMS) === null) return null;
  const solve = (b: ArrayLike<number>) => backSubstitute(normal, TERMS, forwardSubstitute(normal, TERMS, b));
  const covariance = new Float64Array(TERMS * TERMS);
  for (let k = 0; k < TERMS; k++) {
    const column = solve(Float64Array.from({ length: TERMS }, (_, i) => (i === k ? 1 : 0)));
    for (let i = 0; i < TERMS; i++) covariance[i * TERMS + k] = column[i];
  }
  return { by: solve(right), covariance };
}

/** The same map from px to px, h33 = 1. */
function inPixels([a, b, tx, ty, c, d, g, h]: Terms, { centre, half }: Frame): Homography8 {
  const [cx, cy] = centre;
  const [p, q, r, s] = [1 + a + c, d - b, b + d, 1 + a - c];
  // w = 1 + g (x - cx)/L + h (y - cy)/L, times the numerators shifted back by the middle.
  const [wx, wy, w0] = [g / half, h / half, 1 - (g * cx + h * cy) / half];
  const line = (m: number, n: number, t: number, middle: number) => [
    m + middle * wx,
    n + middle * wy,
    half * t - m * cx - n * cy + middle * w0,
  ];
  const all = [...line(p, q, tx, cx), ...line(r, s, ty, cy), wx, wy];
  return Float64Array.from(all, (value) => value / w0);
}

function rootMeanSquare(places: readonly Scaled[], terms: Terms, weights: Float64Array): number {
  let [sum, counted] = [0, 0];
  places.forEach((one, i) => {
    const [dx, dy] = offOf(one, terms);
    sum += weights[i] * (dx * dx + dy * dy);
    counted += 2 * weights[i];
  });
  return Math.sqrt(sum / counted);
}
