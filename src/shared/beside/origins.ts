import { ok, type Result, refuse } from "../quantity/result.ts";
import type { KnownPlace } from "./common-place.ts";
import type { ShotOnPlane } from "./shot-on-plane.ts";

/** What of two shots can be made to fall together. */
export const ORIGINS = ["airframe at first motion", "airframe at release", "scale rod"] as const;
export type Origin = (typeof ORIGINS)[number];

/** A place that both shots have, each on its own flight plane. */
export interface CommonPlace {
  readonly origin: Origin;
  readonly places: readonly [KnownPlace, KnownPlace];
  /** name of the airframe's point that it is; null for the rod */
  readonly point: string | null;
  /** m, standard uncertainty of each coordinate of how well the two fall together */
  readonly u: number;
}

export type NoCommonPlace = "no-common-point" | "no-marks" | "no-instant" | "no-rod";

/**
 * The place of two shots that is to fall together. Points of different airframes are the same by their name;
 * the first that is marked about the instant in both counts. A shot over itself falls together without error.
 * @returns the refusal's number `side` says which of the two lacks it, 0 or 1
 */
export function commonPlace(
  [first, second]: readonly [ShotOnPlane, ShotOnPlane],
  origin: Origin,
): Result<CommonPlace, NoCommonPlace> {
  const both = (
    here: Result<KnownPlace, NoCommonPlace>,
    there: Result<KnownPlace, NoCommonPlace>,
    point: string | null,
  ): Result<CommonPlace, NoCommonPlace> => {
    if (!here.ok) return refuse(here.code, { side: 0 });
    if (!there.ok) return refuse(there.code, { side: 1 });
    const u = first.shotId === second.shotId ? 0 : Math.hypot(here.value.u, there.value.u);
    return ok({ origin, places: [here.value, there.value], point, u });
  };
  if (origin === "scale rod") return both(first.rod(), second.rod(), null);
  const instant = origin === "airframe at release" ? "release" : "first motion";
  let why: Result<CommonPlace, NoCommonPlace> = refuse("no-common-point");
  for (const name of first.pointNames.filter((one) => second.pointNames.includes(one))) {
    const found = both(first.airframeAt(name, instant), second.airframeAt(name, instant), name);
    if (found.ok) return found;
    if (!why.ok && why.code === "no-common-point") why = found;
  }
  return why;
}
