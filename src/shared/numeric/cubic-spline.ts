/** Values on a grid, row by row from the top. */
export interface SampleGrid {
  /** [width · height] */
  readonly data: Uint8Array | Float32Array | Float64Array;
  readonly width: number;
  readonly height: number;
}

/** A rectangle of whole samples, right and bottom ends included. */
export interface SampleBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** The cubic B-spline through the samples of a part of a picture. */
export interface CubicSpline {
  readonly box: SampleBox;
  /** B-spline coefficients of the box, row by row. */
  readonly coefficients: Float64Array;
}

/** Value and slope of a spline: grey levels, and grey levels a sample to the right and downwards. */
export interface SplineSample {
  readonly value: number;
  readonly dx: number;
  readonly dy: number;
}

const POLE = Math.sqrt(3) - 2;
const GAIN = 6; // (1 - pole)(1 - 1/pole)
const HORIZON = 30; // pole^30 is 7e-18: what lies farther does not change a double
const POWERS = Float64Array.from({ length: HORIZON }, (_, k) => POLE ** k);

/**
 * The cubic B-spline that passes through every sample of the box, mirrored about its outermost
 * samples. Beyond a dozen samples from the box's edge it is the same, to 1e-7 of the grey levels, as
 * that of the whole picture.
 * Source: Unser, Aldroubi & Eden, IEEE Trans. Signal Process. 41:821 and 41:834 (1993): recursive
 * prefilter with the pole √3 - 2.
 * @param box by default the whole picture
 * @throws RangeError when the box is not inside the picture
 */
export function cubicSpline(image: SampleGrid, box: SampleBox = wholeOf(image)): CubicSpline {
  const { left, top, right, bottom } = box;
  if (
    !(left >= 0 && top >= 0 && right < image.width && bottom < image.height && left <= right && top <= bottom)
  ) {
    throw new RangeError(
      `cubicSpline: box ${left}..${right}, ${top}..${bottom} is not inside ${image.width} x ${image.height}`,
    );
  }
  const [width, height] = [right - left + 1, bottom - top + 1];
  const c = new Float64Array(width * height);
  for (let y = 0; y < height; y++) {
    const from = (top + y) * image.width + left;
    for (let x = 0; x < width; x++) c[y * width + x] = image.data[from + x];
    prefilter(c, y * width, 1, width);
  }
  for (let x = 0; x < width; x++) prefilter(c, x, width, height);
  return { box, coefficients: c };
}

function wholeOf({ width, height }: SampleGrid): SampleBox {
  return { left: 0, top: 0, right: width - 1, bottom: height - 1 };
}

/** One line of `n` samples, `step` apart, into its coefficients in place. */
function prefilter(c: Float64Array, from: number, step: number, n: number): void {
  if (n < 2) return;
  const last = from + (n - 1) * step;
  let one = GAIN * firstCausal(c, from, step, n);
  c[from] = one;
  for (let at = from + step; at <= last; at += step) {
    one = GAIN * c[at] + POLE * one;
    c[at] = one;
  }
  one = (POLE / (POLE * POLE - 1)) * (c[last] + POLE * c[last - step]);
  c[last] = one;
  for (let at = last - step; at >= from; at -= step) {
    one = POLE * (one - c[at]);
    c[at] = one;
  }
}

/** The sum over the line continued by mirrors to the left of its first sample. */
function firstCausal(c: Float64Array, from: number, step: number, n: number): number {
  if (n > HORIZON) {
    let sum = 0;
    for (let k = 0; k < HORIZON; k++) sum += POWERS[k] * c[from + k * step];
    return sum;
  }
  const at = (k: number) => c[from + k * step];
  // All mirrors of a short line: a geometric sum with the period 2 (n - 1).
  const period = POLE ** (2 * n - 2);
  let sum = at(0) + POLE ** (n - 1) * at(n - 1);
  for (let k = 1; k < n - 1; k++) sum += (POLE ** k + POLE ** (2 * n - 2 - k)) * at(k);
  return sum / (1 - period);
}

/** Whether a place lies between the samples of the box, where the spline is given by them. */
export function isInside({ box }: CubicSpline, x: number, y: number): boolean {
  return x >= box.left && x <= box.right && y >= box.top && y <= box.bottom;
}

/** The spline's value at a place, in samples of the whole picture. Outside the box it goes on mirrored. */
export function valueAt({ box, coefficients }: CubicSpline, x: number, y: number): number {
  const width = box.right - box.left + 1;
  const height = box.bottom - box.top + 1;
  // Written out, without arrays: a follower asks for some thousands of values a picture.
  const i = Math.floor(x - box.left);
  const j = Math.floor(y - box.top);
  const fx = x - box.left - i;
  const fy = y - box.top - j;
  const w0 = weightAt(0, fx);
  const w1 = weightAt(1, fx);
  const w2 = weightAt(2, fx);
  const w3 = weightAt(3, fx);
  if (i > 0 && j > 0 && i + 2 < width && j + 2 < height) {
    let at = (j - 1) * width + i - 1;
    let sum = 0;
    for (let b = 0; b < 4; b++, at += width) {
      const line =
        w0 * coefficients[at] +
        w1 * coefficients[at + 1] +
        w2 * coefficients[at + 2] +
        w3 * coefficients[at + 3];
      sum += line * weightAt(b, fy);
    }
    return sum;
  }
  const c0 = mirrored(i - 1, width);
  const c1 = mirrored(i, width);
  const c2 = mirrored(i + 1, width);
  const c3 = mirrored(i + 2, width);
  let sum = 0;
  for (let b = 0; b < 4; b++) {
    const row = mirrored(j - 1 + b, height) * width;
    const line =
      w0 * coefficients[row + c0] +
      w1 * coefficients[row + c1] +
      w2 * coefficients[row + c2] +
      w3 * coefficients[row + c3];
    sum += line * weightAt(b, fy);
  }
  return sum;
}

/** One of the four cubic B-splines that reach a place a fraction f past a sample. */
function weightAt(which: number, f: number): number {
  const g = 1 - f;
  if (which === 0) return (g * g * g) / 6;
  if (which === 1) return 2 / 3 - f * f * (1 - f / 2);
  return which === 2 ? 2 / 3 - g * g * (1 - g / 2) : (f * f * f) / 6;
}

/** The spline's value and both slopes at a place. */
export function sampleAt({ box, coefficients }: CubicSpline, x: number, y: number): SplineSample {
  const [width, height] = [box.right - box.left + 1, box.bottom - box.top + 1];
  const [u, v] = [x - box.left, y - box.top];
  const [i, j] = [Math.floor(u), Math.floor(v)];
  const [fx, fy] = [u - i, v - j];
  const [wx, wy, sx, sy] = [weights(fx), weights(fy), slopes(fx), slopes(fy)];
  let [value, dx, dy] = [0, 0, 0];
  for (let b = 0; b < 4; b++) {
    const row = mirrored(j - 1 + b, height) * width;
    let [line, slope] = [0, 0];
    for (let a = 0; a < 4; a++) {
      const c = coefficients[row + mirrored(i - 1 + a, width)];
      line += wx[a] * c;
      slope += sx[a] * c;
    }
    value += wy[b] * line;
    dx += wy[b] * slope;
    dy += sy[b] * line;
  }
  return { value, dx, dy };
}

/** All four of them. */
function weights(f: number): readonly [number, number, number, number] {
  return [weightAt(0, f), weightAt(1, f), weightAt(2, f), weightAt(3, f)];
}

function slopes(f: number): readonly [number, number, number, number] {
  const g = 1 - f;
  return [(-g * g) / 2, f * (1.5 * f - 2), g * (2 - 1.5 * g), (f * f) / 2];
}

function mirrored(k: number, n: number): number {
  if (k >= 0 && k < n) return k;
  if (n === 1) return 0;
  const period = 2 * n - 2;
  const within = ((k % period) + period) % period;
  return within < n ? within : period - within;
}
