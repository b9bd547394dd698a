import type { FoundSetUp } from "../../shared/carry/find-set-up.ts";
import type { RatesBetween } from "../../shared/carry/look-for-set-up.ts";
import type { ShotPick } from "../../shared/carry/sought-picks.ts";
import type { Fault } from "../../shared/quantity/notice.ts";

/**
 * Of a bare shot: whether a former shot's set-up was found on its clip. Nothing of it counts until it is
 * taken.
 */
export type CarriedSetUp = { readonly asShotId: string } & (
  | { readonly status: "looking"; readonly picks: readonly ShotPick[] }
  | {
      readonly status: "found";
      /** What was looked for, as the former shot had it then. */
      readonly picks: readonly ShotPick[];
      readonly found: FoundSetUp;
      readonly rates: RatesBetween;
      /** Picks that are not sure and that the person takes all the same. */
      readonly accepted: ReadonlySet<string>;
    }
  | { readonly status: "refused"; readonly fault: Fault }
  /** The person sets the shot up by hand. */
  | { readonly status: "left" }
);
