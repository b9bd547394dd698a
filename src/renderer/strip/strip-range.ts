/** The frames the strip shows, both ends inclusive; fractions while zooming. */
export interface StripRange {
  readonly from: number;
  readonly to: number;
}

const LEAST_FRAMES = 12; // nearer, the strip would be coarser than the picture above it

/** Frame index to px along a strip of `width` px: frame centres, half a frame of room at both ends. */
export function xOfFrame(range: StripRange, width: number, frame: number): number {
  return ((frame - range.from + 0.5) / (range.to - range.from + 1)) * width;
}

/** Px along the strip to the nearest frame of the range. */
export function frameAtX(range: StripRange, width: number, x: number): number {
  const frame = range.from + (x / width) * (range.to - range.from + 1) - 0.5;
  return Math.round(Math.min(range.to, Math.max(range.from, frame)));
}

/** Zooms the range by `factor` (> 1 shows less) about a frame, kept inside 0 to count - 1. */
export function zoomedRange(range: StripRange, factor: number, about: number, count: number): StripRange {
  const most = Math.max(1, count - 1);
  const length = Math.min(most, Math.max(Math.min(LEAST_FRAMES, most), (range.to - range.from) / factor));
  const share = (about - range.from) / Math.max(1e-9, range.to - range.from);
  return heldRange(about - share * length, length, count);
}

/** Moves the range by frames, kept inside the clip. */
export function pannedRange(range: StripRange, by: number, count: number): StripRange {
  return heldRange(range.from + by, range.to - range.from, count);
}

/** The marked part of a clip with a margin of a tenth (6 frames at least); the whole clip without marks. */
export function launchRange(markedFrames: readonly number[], count: number): StripRange {
  const whole = { from: 0, to: Math.max(1, count - 1) };
  if (markedFrames.length < 2) return whole;
  const first = Math.min(...markedFrames);
  const last = Math.max(...markedFrames);
  const margin = Math.max(6, (last - first) / 10);
  return { from: Math.max(0, first - margin), to: Math.min(whole.to, last + margin) };
}

/** A step of ticks in frames so that they stand at least `leastPx` apart: 1, 2, 5, 10, ... */
export function tickStep(range: StripRange, width: number, leastPx: number): number {
  const pxPerFrame = width / (range.to - range.from + 1);
  return niceStep(leastPx / pxPerFrame, 1);
}

/** The least of 1, 2, 5 times a power of ten that is not below `wanted` nor below `least`. */
export function niceStep(wanted: number, least = 0): number {
  const floor = Math.max(wanted, least, 1e-12);
  const power = 10 ** Math.floor(Math.log10(floor));
  const multiple = [1, 2, 5, 10].find((m) => m * power >= floor * (1 - 1e-9)) ?? 10;
  return multiple * power;
}

function heldRange(from: number, length: number, count: number): StripRange {
  const last = Math.max(1, count - 1);
  const start = Math.max(0, Math.min(from, last - length));
  return { from: start, to: Math.min(last, start + length) };
}
