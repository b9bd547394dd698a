import type { CommonError } from "../measure/common-error.ts";
import { errorHere, type OutingShot } from "../session/outings.ts";
import type { TuneTrack } from "./tuned-shot.ts";

/**
 * The push of a shot of another outing, from the copy that the session keeps; its errors in this session's
 * terms, so that only those are shared with today's shots that are of the same rod or camera.
 */
export function outingTrack({ id, outing, shot }: OutingShot): TuneTrack {
  const { push, quantities } = shot;
  const { directionRad, startS, releaseS, points, errors } = push;
  return {
    shotId: id,
    ...{ directionRad, startS, releaseS },
    points: points.map(([timeS, travelM, u, speedMPerS]) => ({ timeS, travelM, u, speedMPerS })),
    common: errors.map(({ by, source, travelM, timeS }) => ({
      key: errorHere(by, outing),
      source: source as CommonError["source"],
      travelM,
      timeS,
    })),
    releaseSpeed: quantities.releaseSpeed ?? null,
  };
}
