import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { PlanePlace } from "../scale/picture-map.ts";
import type { Instant } from "./frames-in-time.ts";

/** A place on a shot's flight plane that another shot has too. */
export interface KnownPlace {
  /** m */
  readonly at: PlanePlace;
  /** m, standard uncertainty of each coordinate */
  readonly u: number;
}

/** Where one point of an airframe was marked. */
export interface PlaceMark {
  /** s, clip time of the row it was exposed in */
  readonly timeS: number;
  /** m */
  readonly x: number;
  readonly y: number;
  /** m, each coordinate */
  readonly u: number;
}

const AT_REST = 10; // marks before first motion that count: earlier ones may be from before it lay ready

/**
 * Where a point of the airframe was at an instant of its launch, from its marks.
 * First motion: the mean of the last marks before it; their errors may last from frame to frame, so u is that
 * of one mark. Release: between the marks before and after, on the straight line: u² = ((1-w) u_0)² +
 * (w u_1)² + (v u(t))² + (a h²/8)²/3, with w the share of their gap h that had passed and v the speed along
 * it. The chord of a path is off by at most a h²/8, equally likely up to that (JCGM 100:2008, 4.3.7).
 * @param marks of one point, in any order
 * @param at s, clip time of the instant
 * @param peakMPerS2 m/s², greatest acceleration
 * @returns "no-marks" where the point is not marked before the instant, or on both sides of release
 */
export function placeAt(
  marks: readonly PlaceMark[],
  instant: Instant,
  at: Measured,
  peakMPerS2: number,
): Result<KnownPlace, "no-marks"> {
  const inOrder = [...marks].sort((a, b) => a.timeS - b.timeS);
  const until = inOrder.filter(({ timeS }) => timeS <= at.value);
  const before = until.at(-1);
  const fastest = Math.max(peakMPerS2, STANDARD_GRAVITY); // free of the launcher it still falls
  if (before === undefined) return refuse("no-marks");
  if (instant === "first motion") {
    const rest = until.slice(-AT_REST);
    const mean = (of: (mark: PlaceMark) => number) =>
      rest.reduce((sum, mark) => sum + of(mark) / rest.length, 0);
    const gone = (fastest * at.u ** 2) / 2; // where it moved that much earlier
    return ok({
      at: [mean(({ x }) => x), mean(({ y }) => y)],
      u: Math.hypot(Math.sqrt(mean(({ u }) => u ** 2)), gone),
    });
  }
  const after = inOrder[until.length];
  if (after === undefined) return refuse("no-marks");
  const gapS = after.timeS - before.timeS;
  const share = (at.value - before.timeS) / gapS;
  const [dx, dy] = [after.x - before.x, after.y - before.y];
  const speed = Math.hypot(dx, dy) / gapS;
  const chord = (fastest * gapS ** 2) / 8;
  return ok({
    at: [before.x + share * dx, before.y + share * dy],
    u: Math.hypot((1 - share) * before.u, share * after.u, speed * at.u, chord / Math.sqrt(3)),
  });
}
