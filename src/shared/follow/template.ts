import { type CubicSpline, cubicSpline, sampleAt, valueAt } from "../numeric/cubic-spline.ts";
import { boxAround, type GreyImage } from "./grey-image.ts";

/**
 * A piece of a picture that is looked for in other pictures: its samples, counted from its middle,
 * which is a whole sample.
 */
export interface Template {
  /** Samples from the middle, right and down; [n]. */
  readonly dx: Int32Array;
  readonly dy: Int32Array;
  /** Grey levels and their slopes there; [n]. */
  readonly values: Float64Array;
  readonly slopeX: Float64Array;
  readonly slopeY: Float64Array;
  /** Samples from its middle to its edge. */
  readonly radius: number;
  /** The middle in the picture it was taken from. */
  readonly middle: readonly [number, number];
  /** The picture about it, to look at it turned. */
  readonly spline: CubicSpline;
}

export type TemplateShape = "square" | "disc";

const SURROUND = 14; // samples about the piece that its spline is made from: its edge then does not show

/**
 * Takes a template out of a picture: the square of side 2 r + 1 about a whole sample, or the disc in it.
 * @returns null when part of it lies outside the picture
 * @throws RangeError when the middle is no whole sample or r is no whole number above 1
 */
export function templateAt(
  image: GreyImage,
  middle: readonly [number, number],
  radius: number,
  shape: TemplateShape = "disc",
): Template | null {
  const [cx, cy] = middle;
  if (!(Number.isInteger(cx) && Number.isInteger(cy) && Number.isInteger(radius) && radius > 1)) {
    throw new RangeError(`templateAt: need whole samples and a radius above 1; got ${cx}, ${cy}, ${radius}`);
  }
  if (cx - radius < 0 || cy - radius < 0 || cx + radius >= image.width || cy + radius >= image.height)
    return null;
  const spline = cubicSpline(image, boxAround(image, middle, radius + SURROUND) ?? undefined);
  const offsets: (readonly [number, number])[] = [];
  const reach = shape === "disc" ? (radius + 0.5) ** 2 : Number.POSITIVE_INFINITY;
  for (let y = -radius; y <= radius; y++) {
    for (let x = -radius; x <= radius; x++) if (x * x + y * y <= reach) offsets.push([x, y]);
  }
  const samples = offsets.map(([x, y]) => sampleAt(spline, cx + x, cy + y));
  return {
    dx: Int32Array.from(offsets, ([x]) => x),
    dy: Int32Array.from(offsets, ([, y]) => y),
    // The spline passes through the samples but for rounding: the samples themselves are kept.
    values: Float64Array.from(offsets, ([x, y]) => image.data[(cy + y) * image.width + cx + x]),
    slopeX: Float64Array.from(samples, (one) => one.dx),
    slopeY: Float64Array.from(samples, (one) => one.dy),
    radius,
    middle,
    spline,
  };
}

/**
 * The template's grey levels turned by theta, at its own whole offsets: what it looks like in a picture
 * where it has turned so far.
 */
export function turnedValues({ dx, dy, values, spline, middle }: Template, theta: number): Float64Array {
  if (theta === 0) return values;
  const [c, s] = [Math.cos(theta), Math.sin(theta)];
  const turned = new Float64Array(values.length);
  for (let i = 0; i < turned.length; i++) {
    const x = dx[i];
    const y = dy[i];
    turned[i] = valueAt(spline, middle[0] + c * x + s * y, middle[1] - s * x + c * y);
  }
  return turned;
}
