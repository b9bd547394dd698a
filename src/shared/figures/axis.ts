import { scaleLinear } from "d3-scale";

/** A linear axis of one panel, with the power of ten that keeps its tick labels short. */
export interface Axis {
  /** Values are divided by 10^exponent before they are written; 0 for everyday sizes. */
  readonly exponent: number;
  readonly ticks: readonly { readonly value: number; readonly text: string }[];
  readonly low: number;
  readonly high: number;
  /** px of a value; values outside are held at the edge. */
  readonly px: (value: number) => number;
}

/**
 * Lays a linear axis over a span of values. A span of nothing (one value, or equal to the last
 * bits) is opened by a twentieth of the value, or to ±1 about zero, so that it can be drawn; one of
 * no finite value likewise.
 * @param low,high in display units, low <= high  @param range px of low and of high
 * @param count about how many ticks
 */
export function axisOf(low: number, high: number, range: readonly [number, number], count: number): Axis {
  const largest = Math.max(Math.abs(low), Math.abs(high));
  const nothing = largest < LEAST;
  const everyday = nothing || (largest >= 1e-3 && largest < 1e5);
  const exponent = everyday ? 0 : Math.floor(Math.log10(largest));
  const unit = 10 ** exponent;
  const domain = nothing ? opened(0, 0) : opened(low / unit, high / unit);
  const scale = scaleLinear(domain, range).clamp(true);
  const [from, to] = scale.domain() as [number, number];
  const format = scale.tickFormat(count);
  const ticks = scale.ticks(count).map((value) => ({ value: value * unit, text: format(value) }));
  return { exponent, ticks, low: from * unit, high: to * unit, px: (value) => scale(value / unit) };
}

/** Below this a value is drawn as zero: its power of ten has no exact reciprocal among doubles any more. */
const LEAST = 1e-290;

function opened(low: number, high: number): [number, number] {
  const middle = low / 2 + high / 2;
  // Below a millionth of the value the tick labels would need more digits than a reader has patience for.
  if (high - low > 1e-6 * Math.abs(middle)) return [low, high];
  const half = middle === 0 ? 1 : Math.abs(middle) / 20;
  return [middle - half, middle + half];
}

/** Least and greatest finite value; [0, 0] when there is none. */
export function spanOf(values: Iterable<number>): readonly [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return low <= high ? [low, high] : [0, 0];
}

const SUPERSCRIPTS: Readonly<Record<string, string>> = {
  "-": "⁻",
  "0": "⁰",
  "1": "¹",
  "2": "²",
  "3": "³",
  "4": "⁴",
  "5": "⁵",
  "6": "⁶",
  "7": "⁷",
  "8": "⁸",
  "9": "⁹",
};

/** The unit as an axis writes it: "m/s", or "10⁶ m/s". */
export function unitText(unit: string, exponent: number): string {
  if (exponent === 0) return unit;
  const power = [...String(exponent)].map((digit) => SUPERSCRIPTS[digit]).join("");
  return `10${power} ${unit}`.trim();
}
