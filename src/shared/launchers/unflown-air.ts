import type { Measured } from "../quantity/measured.ts";
import type { Conditions } from "../session/schema.ts";

/** What a flight that nobody steers takes of the day's air and ground, and what of it nobody stated. */
export interface UnflownAir {
  readonly crosswindMPerS: Measured;
  readonly releaseHeightM: Measured;
  /** Clauses after a semicolon, or nothing: "; crosswind not stated: 0 ± 2 m/s assumed". */
  readonly assumed: { readonly crosswind: string; readonly height: string };
}

// As the headwind of a new shot: so uncertain that it is seen to be a guess.
const ASSUMED_CROSSWIND: Measured = { value: 0, u: 2, assumed: true };
// The end of a cradle or a rail that stands on the ground.
const ASSUMED_HEIGHT: Measured = { value: 1, u: 0.5, assumed: true };

export function unflownAir({ crosswindMPerS, releaseHeightM }: Conditions): UnflownAir {
  return {
    crosswindMPerS: crosswindMPerS ?? ASSUMED_CROSSWIND,
    releaseHeightM: releaseHeightM ?? ASSUMED_HEIGHT,
    assumed: {
      crosswind: crosswindMPerS == null ? "; crosswind not stated: 0 ± 2 m/s assumed" : "",
      height: releaseHeightM == null ? "; height of release not stated: 1.0 ± 0.5 m assumed" : "",
    },
  };
}
