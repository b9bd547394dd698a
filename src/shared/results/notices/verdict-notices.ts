import { danger, note, noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";
import { RANGE_DEFERENCE } from "./deference.ts";
import { beyondClear } from "./flight-notices.ts";

/** Builders keep 1.2 to 1.3 times the stall speed at release. Common practice, no source. */
export const CUSTOMARY_MARGIN = 1.2;

type Side = "measured" | "predicted";

const FLY_SURER = "Raise the release speed, lighten the airframe, or launch into more wind.";
const inspect = (side: Side) =>
  side === "measured" ? "Inspect airframe and joints before the next shot. " : "";

/**
 * Load and stall of a shot. `load` and `limit` are in g, `margin` in stall speeds, as they are shown.
 * @param less what lessens the load on this kind of launcher, a sentence; where it is none, the general
 * advice stands
 */
export const MARGIN_NOTICES = noticeCatalogue(
  { about: "verdict" },
  {
    "load-limit": (side: Side, load: string, limit: string, less?: string) =>
      danger(
        `${loadSays(side, load, limit)}: the push can break the airframe.`,
        less ?? `${inspect(side)}Push less hard or over a longer way, or strengthen the airframe.`,
      ),
    "near-load-limit": (side: Side, load: string, limit: string, less?: string) =>
      warning(
        `${loadSays(side, load, limit)}: within twice the uncertainty it may be passed.`,
        less ??
          `${inspect(side)}Push less hard, or measure the launcher's inputs, the mass and the limit more closely.`,
      ),
    "below-stall": (side: Side, margin: string) => ({
      level: side === "measured" ? "danger" : "warning",
      cause: `${marginSays(side, margin)}: the wing cannot carry the airframe yet.`,
      remedy: FLY_SURER,
    }),
    "near-stall": (side: Side, margin: string) =>
      warning(
        `${marginSays(side, margin)}; within twice the uncertainty it may be below the customary ${CUSTOMARY_MARGIN} (common practice, no source).`,
        FLY_SURER,
      ),
  },
);

function loadSays(side: Side, load: string, limit: string): string {
  return `The ${side} load along the push is ${load} g, the limit entered ${limit} g`;
}

function marginSays(side: Side, margin: string): string {
  return `The ${side} airspeed at release is ${margin} times the stall speed`;
}

/** What the first seconds after release bring. */
export const FLIGHT_NOTICES = noticeCatalogue(
  { about: "verdict", beside: "flight" },
  {
    /**
     * @param reachesGround whether there is less height than it needs
     * @param pulls a sentence after a space, or nothing
     */
    "after-below-stall": (side: Side, fall: string, reachesGround: boolean, pulls: string) => {
      const room = reachesGround
        ? " There is less height than that at release: without thrust it reaches the ground first."
        : "";
      return {
        level: reachesGround && side === "measured" ? "danger" : "warning",
        cause: `Below stall speed at release, it gains the missing speed by falling ${fall} without loss.${room}${pulls}`,
        remedy: "Let the nose stay down until it flies, and do not turn before.",
      };
    },
    /** @param may whether it does so within twice the uncertainty only */
    "after-beyond-clear": (side: Side, distance: string, clear: string, may: boolean) =>
      beyondClear(side, distance, clear, may, RANGE_DEFERENCE),
    "after-gust-stall": (gust: string, ratio: number) =>
      warning(
        `A gust of ${gust} from behind leaves ${ratio.toFixed(2)} times the stall speed at release.`,
        "Wait for a lull or raise the release speed.",
      ),
  },
);

/**
 * How an altimeter's height stands to the footage, or why it says nothing. `says` and `footage` are clauses.
 */
export const ALTIMETER_NOTICES = noticeCatalogue(
  { about: "verdict", beside: "altimeter" },
  {
    "altimeter-not-vertical": (angle: string) =>
      note(
        `The altimeter checks shots that go straight up; this one left at ${angle}.`,
        "Take the altimeter's entry out, or launch within 10° of the vertical.",
      ),
    "altimeter-no-mass": () =>
      refusal(
        "The altimeter's apogee gives no speed: how much the air slows the climb depends on the mass, which is not known.",
        "Weigh the airframe ready to fly and enter the mass.",
      ),
    "altimeter-too-low": () =>
      refusal(
        "The altimeter's greatest height is not above the place of release.",
        "Read the greatest height above the launcher off the altimeter again.",
      ),
    "altimeter-too-high": () =>
      refusal(
        "No launch speed reaches the altimeter's height with this mass and drag area.",
        "Check the drag area, the mass and the height.",
      ),
    "altimeter-alone": (says: string, dragKnown: boolean) => note(`${says}.`, besides(dragKnown)),
    "altimeter-agrees": (says: string, footage: string, agree: string, dragKnown: boolean) =>
      note(`${says}; ${footage}: ${agree}.`, besides(dragKnown)),
    "altimeter-differs": (says: string, footage: string, inU: number) =>
      warning(
        `${says}; ${footage}: they differ by ${inU.toFixed(1)} times their combined uncertainty.`,
        "Check capture rate and scale, the air temperature, and the drag area: the first two move the footage, the others the altimeter.",
      ),
  },
);

function besides(dragKnown: boolean): string {
  return dragKnown
    ? "It depends on neither the clock nor the scale of the camera."
    : "Enter the airframe's drag area to allow for the air.";
}
