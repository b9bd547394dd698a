import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { PathMark } from "./dropped-frames.ts";
import type { Repeats } from "./frame-clock.ts";

export interface RepeatKind {
  readonly kind: Repeats["kind"];
  /**
   * How far the picture moves from before a repeat to after it, in usual steps: 1 for inserted, 2 for stale.
   */
  readonly advance: Measured;
}

const SURE_IN_U = 3; // the advance must lie this many u on one side of the middle
const FROM_NEAREST = 0.3; // usual steps; farther from its whole number it is neither

/**
 * Whether repeats are padding or lost frames, from a point marked through them: across one repeat, the point
 * advances by one usual step when the repeat was inserted and by two when the camera lost a frame. The usual
 * step is the mean of the steps beside it that touch no repeat. With u from the marks: u² = (u_d/e)² + (d
 * u_e/e²)², averaged over the repeats.
 * @param marks of one point, by frame, strictly increasing; marks in repeated frames are passed over
 * @param repeats increasing
 * @returns "too-few-marks" when no single repeat has marks for two usual steps around it (as when every
 *   second frame repeats: then both readings give the same times, each with its own capture rate);
 *   "undecided" when the advance is not clear, with the numbers
 */
export function repeatKind(
  marks: readonly PathMark[],
  repeats: readonly number[],
): Result<RepeatKind, "too-few-marks" | "undecided"> {
  const at = new Map(marks.map((mark) => [mark.frame, mark]));
  const repeated = new Set(repeats);
  const advances = repeats.flatMap((r) => {
    const corners = [r - 2, r - 1, r + 1, r + 2];
    const [a, b, c, d] = corners.map((frame) => at.get(frame));
    if (a === undefined || b === undefined || c === undefined || d === undefined) return [];
    if (corners.some((frame) => repeated.has(frame))) return [];
    const usual = (distance(a, b) + distance(c, d)) / 2;
    if (!(usual > 0)) return [];
    const uUsual = Math.hypot(a.u, b.u, c.u, d.u) / 2;
    const across = distance(b, c);
    return [
      { value: across / usual, u: Math.hypot(Math.hypot(b.u, c.u) / usual, (across * uUsual) / usual ** 2) },
    ];
  });
  if (advances.length === 0) return refuse("too-few-marks", { repeats: repeats.length });
  const weights = advances.map(({ u }) => 1 / u ** 2);
  const sum = weights.reduce((total, w) => total + w, 0);
  const value = advances.reduce((total, one, i) => total + weights[i] * one.value, 0) / sum;
  const u = 1 / Math.sqrt(sum);
  const kind = value < 1.5 ? "inserted" : "stale";
  const off = Math.abs(value - (kind === "inserted" ? 1 : 2));
  if (Math.abs(value - 1.5) < SURE_IN_U * u || off > Math.max(FROM_NEAREST, SURE_IN_U * u)) {
    return refuse("undecided", { advance: value, u });
  }
  return ok({ kind, advance: { value, u } });
}

function distance(a: PathMark, b: PathMark): number {
  return Math.hypot(b.x - a.x, b.y - a.y);
}
