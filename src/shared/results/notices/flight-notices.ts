import {
  danger,
  note,
  noticeCatalogue,
  refusal,
  type Told,
  warning,
} from "../../quantity/notice-catalogue.ts";
import { ROCKET_DEFERENCE } from "./deference.ts";

/** Body diameters from centre of gravity to centre of pressure that rockets have: common practice. */
export const CUSTOMARY_STABILITY = 1;
/**
 * m/s, 20 mph. Source: Model Rocket Safety Code of the National Association of Rocketry (USA), 2012: launch
 * site, safe weather.
 */
export const MOST_WIND_M_PER_S = 8.94;

const MORE_STABLE = `Move weight forward or enlarge the surfaces behind it, and swing it on a cord before it flies. ${ROCKET_DEFERENCE}`;

/** What is said of the flight of a rocket that nobody steers. Values come in as they are shown. */
export const UNFLOWN_NOTICES = noticeCatalogue(
  { about: "verdict", beside: "flight" },
  {
    "flight-unstable": (margin: string) =>
      danger(
        `The centre of pressure does not lie behind the balance point (stability margin ${margin} body diameters): in the air it does not keep its nose ahead, and under thrust it may go anywhere.`,
        `Do not launch it so. ${MORE_STABLE}`,
      ),
    "flight-low-margin": (margin: string) =>
      warning(
        `The stability margin is ${margin} body diameters; within twice the uncertainty it may be below the customary ${CUSTOMARY_STABILITY} (common practice).`,
        MORE_STABLE,
      ),
    "flight-margin-unknown": () =>
      note(
        "Whether the air keeps its nose ahead is not known, for the centre of pressure and the diameter of the body are not stated; where it comes down is told for one whose nose follows the air.",
        "Enter both under Verdict, Inputs of the flight; a guess with a wide uncertainty will do.",
      ),
    /** @param why a clause */
    "flight-not-told": (why: string) =>
      refusal(
        `Where it comes down is not told: ${why}.`,
        "Bring the thrust line to the balance point, or enter centre of pressure and body diameter under Verdict, Inputs of the flight.",
      ),
    /**
     * @param aside a clause: "5 ± 3 m to the left"
     * @param reach no farther than this within twice the uncertainty
     */
    "flight-comes-down": (ahead: string, aside: string, speed: string, reach: string) =>
      note(
        `Steered by nobody it comes down ${ahead} ahead of the cradle and ${aside}, at ${speed}; within twice the uncertainty no farther than ${reach} from it.`,
        `Keep at least that much ground clear to every side, and what is left out besides. The range safety officer decides. ${ROCKET_DEFERENCE}`,
      ),
    /**
     * @param otherwise each with how far ahead it would come down
     * @param besides sentences after a space, or nothing
     */
    "flight-left-out": (otherwise: readonly string[], besides: string) =>
      note(
        `How far ahead it would come down otherwise: ${otherwise.join("; ")}.${besides} Gusts, a parachute and whoever flies it are left out as well.`,
        "Allow for the farthest of these.",
      ),
    "flight-near-people": (nearest: string, kept: string) =>
      danger(
        `It may come down ${nearest} from the cradle, nearer than the ${kept} at which people stand at least.`,
        `Stand farther off and under cover, or lean the cradle away. The range safety officer decides. ${ROCKET_DEFERENCE}`,
      ),
    "flight-beyond-clear": (distance: string, clear: string, may: boolean) =>
      beyondClear("predicted", distance, clear, may, ROCKET_DEFERENCE),
    "flight-wind": (wind: string, most: string, may: boolean) =>
      (may ? warning : danger)(
        `The wind is ${wind}; ${may ? "within twice its uncertainty it may be" : "that is"} above the ${most} up to which model rockets are launched (National Association of Rocketry, USA).`,
        `Wait for less wind. ${ROCKET_DEFERENCE}`,
      ),
    "flight-under-power": (after: string) =>
      danger(
        `Steered by nobody it reaches the ground ${after} after leaving the cradle, while a motor still burns.`,
        `Point the cradle higher, or take more thrust at the start or a longer cradle. ${ROCKET_DEFERENCE}`,
      ),
  },
);

/** That an airframe may come down where somebody is. */
export function beyondClear(
  side: "measured" | "predicted",
  distance: string,
  clear: string,
  may: boolean,
  deference: string,
): Told {
  const says = may
    ? `; within twice the uncertainty that may be beyond the ${clear} within which nobody is`
    : `, beyond the ${clear} within which nobody is`;
  return (may ? warning : danger)(
    `Steered by nobody the ${side} launch comes down ${distance} from the launcher${says}.`,
    `Clear more ground, or launch with less speed. ${deference}`,
  );
}
