import type { ModelCurve, TunableModel } from "../launchers/tunable-model.ts";
import type { CommonError } from "../measure/common-error.ts";
import type { PushTrack, TrackPoint } from "../measure/push-track.ts";
import { choleskyInPlace, forwardSubstitute } from "../numeric/cholesky.ts";
import type { Measured } from "../quantity/measured.ts";

/** What of a measured shot tuning takes. */
export type TuneTrack = Omit<PushTrack, "measurement"> & {
  /** m/s, as measured; null where it was not. */
  readonly releaseSpeed: Measured | null;
};

/** The same of a shot that was measured just now. */
export function trackToTune({ measurement, ...track }: PushTrack): TuneTrack {
  return { ...track, releaseSpeed: measurement.quantities.releaseSpeed ?? null };
}

/** A measured shot and the model of it. */
export interface ShotToTune {
  readonly track: Omit<TuneTrack, "releaseSpeed">;
  readonly model: TunableModel;
}

/**
 * What the clip does not say of how the model's clock and zero lie in it, and what the air does in flight.
 */
export interface ShotPlacing {
  /** s, clip time of the model's time 0. */
  readonly startS: number;
  /** m, place at rest on the track's scale. */
  readonly restM: number;
  /** m/s², what the air takes along the launch direction. */
  readonly dragMPerS2: number;
}

/**
 * The rows of one shot in the least squares: points whitened by the covariance of what is this shot's alone.
 */
export interface ShotRows {
  readonly points: readonly TrackPoint[];
  /**
   * Errors that other shots share, in the order of the keys given. Null where this shot has no part in one.
   */
  readonly shared: readonly (CommonError | null)[];
  /** Turns rows in metres into rows of unit variance, in place in `out` from `at` on. */
  whiten(rows: Float64Array): Float64Array;
}

// of flight after release that is used: long enough for a speed, too short for the drag to change
const FLIGHT_S = 0.05;
// chi-square that one u of an error brings to a whole track; below it nothing is lost by leaving it out
const NO_PART = 1e-3;

/** The errors of a track that matter at all. */
export function errorsThatMatter(track: ShotToTune["track"]): readonly CommonError[] {
  const points = usedPoints(track);
  return track.common.filter(
    (error) =>
      points.reduce((sum, at) => sum + (shiftAt(track, error, at) / pointU(track, at)) ** 2, 0) > NO_PART,
  );
}

/**
 * @param sharedKeys errors that are unknowns of the whole fit; every other error of this track goes into its
 *   covariance: C = diag(u²) + Σ w wᵀ, w = Δtravel - speed Δtime
 */
export function shotRows(track: ShotToTune["track"], sharedKeys: readonly string[]): ShotRows {
  const used = usedPoints(track);
  const n = used.length;
  const covariance = new Float64Array(n * n);
  used.forEach((at, i) => {
    covariance[i * n + i] = pointU(track, at) ** 2;
  });
  const errors = errorsThatMatter(track);
  for (const error of errors) {
    if (sharedKeys.includes(error.key)) continue;
    const w = used.map((at) => shiftAt(track, error, at));
    for (let i = 0; i < n; i++) for (let j = 0; j <= i; j++) covariance[i * n + j] += w[i] * w[j];
  }
  if (choleskyInPlace(covariance, n) === null) {
    throw new RangeError(`shotRows: the points of "${track.shotId}" have no positive definite covariance`);
  }
  return {
    points: used.map((at) => track.points[at]),
    shared: sharedKeys.map((key) => {
      const error = errors.find((one) => one.key === key);
      return error === undefined
        ? null
        : {
            ...error,
            travelM: used.map((at) => error.travelM[at]),
            timeS: used.map((at) => error.timeS[at]),
          };
    }),
    whiten: (rows) => forwardSubstitute(covariance, n, rows),
  };
}

/** Travel and speed of the model at a time of its own clock: the push, then a straight flight. */
export function modelAt(
  curve: ModelCurve,
  dragMPerS2: number,
  timeS: number,
): { readonly travelM: number; readonly speedMPerS: number; readonly flownS: number } {
  const flownS = timeS - curve.exitS;
  if (flownS <= 0) return { ...(timeS <= 0 ? { travelM: 0, speedMPerS: 0 } : curve.at(timeS)), flownS: 0 };
  const slowing = curve.slowingMPerS2 + dragMPerS2;
  return {
    travelM: curve.exitTravelM + curve.exitSpeedMPerS * flownS - (slowing * flownS * flownS) / 2,
    speedMPerS: curve.exitSpeedMPerS - slowing * flownS,
    flownS,
  };
}

function usedPoints({ points, releaseS }: ShotToTune["track"]): readonly number[] {
  return [...points.keys()].filter((i) => points[i].timeS <= releaseS + FLIGHT_S);
}

function shiftAt({ points }: ShotToTune["track"], error: CommonError, at: number): number {
  return error.travelM[at] - points[at].speedMPerS * error.timeS[at];
}

function pointU({ points }: ShotToTune["track"], at: number): number {
  return points[at].u;
}
