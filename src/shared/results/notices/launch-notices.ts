import {
  type CodeOf,
  danger,
  note,
  noticeCatalogue,
  refusal,
  type Told,
  warning,
} from "../../quantity/notice-catalogue.ts";
import { DEFERENCE, ELASTIC_DEFERENCE, PROPELLER_DEFERENCE, ROCKET_DEFERENCE } from "./deference.ts";

/*
 * What is said of launchers from their description alone, and of the loads a shot puts on them: cautions and
 * limits. Values come in as they are shown, with their unit.
 */

/** What to do where no rating of the tank is stated, and where its pressure is above it. */
export const READ_THE_RATING = `Read the rating off every pressure part and enter the lowest. ${DEFERENCE}`;
export const DO_NOT_FILL = `Do not fill it to this pressure. ${DEFERENCE}`;

/** The tank's pressure against the maker's rating. */
export const RATING_NOTICES = noticeCatalogue(
  { about: "model", beside: "pressure" },
  {
    "tank-rating-unknown": () =>
      note(
        "The maker's rating of the weakest pressure part is not stated, so the pressure cannot be compared with it.",
        READ_THE_RATING,
      ),
    "over-rating": (gauge: string, rating: string) =>
      danger(
        `The tank is filled to ${gauge} gauge, above the rating of ${rating} entered for it.`,
        DO_NOT_FILL,
      ),
    "supply-over-rating": (supply: string, rating: string) =>
      danger(
        `What feeds the tank stands at ${supply} gauge; within twice its uncertainty that is above the rating of ${rating} entered for the tank, which it may fill to its own pressure.`,
        `Set the regulator below the rating, and fit a relief valve behind it. ${DEFERENCE}`,
      ),
    "over-relief": (gauge: string, opens: string) =>
      danger(
        `The tank is filled to ${gauge} gauge, above the ${opens} at which its relief valve opens: a valve that lets that pass does not work.`,
        `Do not fill it to this pressure, and have the valve tested. ${DEFERENCE}`,
      ),
    "near-relief": (gauge: string, opens: string) =>
      warning(
        `The gauge reads ${gauge}; within twice its uncertainty it may be above the ${opens} at which the relief valve opens.`,
        `Stay below it, or use a better gauge. ${DEFERENCE}`,
      ),
    "near-rating": (gauge: string) =>
      warning(
        `The gauge reads ${gauge}; within twice its uncertainty it may be above the rating entered for the tank.`,
        `Lower the pressure or use a better gauge. ${DEFERENCE}`,
      ),
  },
);

/** Why no pressure is named to fill a tank to. */
export const FILL_TO_NOTICES = noticeCatalogue(
  { about: "next-shot" },
  {
    "rating-first": () =>
      refusal(
        "No pressure is recommended, for the maker's rating of the weakest pressure part is not stated.",
        `${READ_THE_RATING} Until then the curve shows what the model says, and no more.`,
      ),
    "no-pressure-for-plastic": () =>
      refusal(
        "No pressure is recommended for a tank of plastic pipe: its rating is for liquids, and compressed gas can burst it into shards at any pressure.",
        `Use a metal air receiver with a stated rating and a relief valve, and state it. ${DEFERENCE}`,
      ),
  },
);

/** What a tank of compressed gas is and holds. */
export const TANK_NOTICES = noticeCatalogue(
  { about: "model", beside: "pressure" },
  {
    "plastic-pipe": () =>
      danger(
        "The tank is stated to be plastic pipe. Plastic pipe such as PVC, CPVC or ABS is rated for liquids; compressed gas can burst it without warning and throw shards.",
        `Use a metal air receiver with a stated rating and a relief valve instead. ${DEFERENCE}`,
      ),
    "tank-material-unknown": () =>
      note(
        "It is not stated what the tank is made of. Plastic pipe filled with compressed gas can burst into shards.",
        `State the material. ${DEFERENCE}`,
      ),
    "stored-pressure": (energy: string) =>
      note(
        `The filled tank holds ${energy} of compressed gas, let out at once if a part fails.`,
        `Fit a relief valve, fill from behind cover, vent before coming near, and wear eye and ear protection. ${DEFERENCE}`,
      ),
  },
);

// common practice, no source
const STOP_BREAKS_FIRST = "Joints at the stop are what breaks first in practice.";

/**
 * The loads on end stop and base, against the ratings of what takes them. `load` is a sentence of its own.
 */
export const LOAD_NOTICES = noticeCatalogue(
  { about: "model", beside: "end-stop" },
  {
    "end-stop-rating-unknown": (load: string) =>
      note(
        `${load} ${STOP_BREAKS_FIRST} No rated load is stated for them, so the load cannot be compared with it.`,
        `Enter the rated load of the weakest joint at the stop. ${DEFERENCE}`,
      ),
    "end-stop-over": (load: string, rated: string) =>
      danger(
        `${load} The weakest joint is rated for ${rated}. ${STOP_BREAKS_FIRST} A joint that breaks lets piston and rod fly.`,
        `Do not shoot with this stop: lengthen the buffer's travel, lighten what moves, or lower the pressure. ${DEFERENCE}`,
      ),
    "end-stop-near": (load: string, rated: string) =>
      warning(
        `${load} Within twice its uncertainty it may be above the ${rated} the weakest joint is rated for. ${STOP_BREAKS_FIRST}`,
        `Lengthen the buffer's travel or measure it, the mass and the pressure more closely. ${DEFERENCE}`,
      ),
    "base-push-over": (load: string, rated: string) => baseOver(PUSHES_BACK, load, rated),
    "base-push-near": (load: string, rated: string) => baseNear(PUSHES_BACK, load, rated),
    "base-pull-over": (load: string, rated: string) => baseOver(PULLS_FORWARD, load, rated),
    "base-pull-near": (load: string, rated: string) => baseNear(PULLS_FORWARD, load, rated),
  },
);

const PUSHES_BACK = "The ram pushes its base back";
const PULLS_FORWARD = "The end stop, or gas shut in ahead of the piston, pulls the base forward";

function baseOver(what: string, load: string, rated: string): Told {
  return danger(
    `${what} with up to ${load}, above the ${rated} its fixings are rated for: it can tear loose.`,
    `Do not shoot from these fixings: strengthen them or lower the pressure. ${DEFERENCE}`,
  );
}

function baseNear(what: string, load: string, rated: string): Told {
  return warning(
    `${what} with up to ${load}; within twice its uncertainty it may be above the ${rated} its fixings are rated for.`,
    `Strengthen the fixings, lower the pressure, or measure the inputs more closely. ${DEFERENCE}`,
  );
}

/** What an elastic line loads: itself, its anchor, and the stop of its carriage. */
export const LINE_NOTICES = noticeCatalogue(
  { about: "model", beside: "line-loads" },
  {
    "line-stretch-over": (stretch: string, limit: string) =>
      danger(
        `At full draw the line is stretched by ${stretch} times its free length, above the ${limit} entered for it: it can break.`,
        `Do not draw it so far: draw less, or use a longer line. ${ELASTIC_DEFERENCE}`,
      ),
    "line-stretch-near": (stretch: string, limit: string) =>
      warning(
        `At full draw the line is stretched by ${stretch} times its free length; within twice its uncertainty that may be above the ${limit} entered for it.`,
        `Draw less, or measure draw and free length more closely. ${ELASTIC_DEFERENCE}`,
      ),
    "line-length-unknown": (limit: string) =>
      warning(
        `A greatest stretch of ${limit} times the free length is entered for the line, but not its free length, so the draw cannot be compared with it.`,
        `Measure the free length of one line and enter it. ${ELASTIC_DEFERENCE}`,
      ),
    "anchor-over": (pull: string, rated: string) =>
      danger(
        `At full draw the lines pull on their anchor with ${pull}, above the ${rated} it is rated for: it can tear loose and fly along the line.`,
        `Do not draw it so far: draw less, or use a stronger anchor. ${ELASTIC_DEFERENCE}`,
      ),
    "anchor-near": (pull: string, rated: string) =>
      warning(
        `At full draw the lines pull on their anchor with ${pull}; within twice its uncertainty that may be above the ${rated} it is rated for.`,
        `Draw less, use a stronger anchor, or measure force and draw more closely. ${ELASTIC_DEFERENCE}`,
      ),
    "carriage-stop-rating-unknown": (load: string) =>
      note(
        `${load} ${STOP_BREAKS_FIRST} No rated load is stated for them, so the load cannot be compared with it.`,
        `Enter the rated load of the weakest joint at the stop. ${ELASTIC_DEFERENCE}`,
      ),
    "carriage-stop-over": (load: string, rated: string) =>
      danger(
        `${load} The weakest joint is rated for ${rated}. ${STOP_BREAKS_FIRST} A joint that breaks lets the carriage fly after the airframe.`,
        `Do not shoot with this stop: lengthen the buffer's travel, lighten the carriage, or draw less. ${ELASTIC_DEFERENCE}`,
      ),
    "carriage-stop-near": (load: string, rated: string) =>
      warning(
        `${load} Within twice its uncertainty it may be above the ${rated} the weakest joint is rated for. ${STOP_BREAKS_FIRST}`,
        `Lengthen the buffer's travel, draw less, or measure travel, masses and force more closely. ${ELASTIC_DEFERENCE}`,
      ),
  },
);

/** Cautions of every shot. What breaks first at an end stop is common practice, without a source. */
export const SHOT_CAUTIONS = noticeCatalogue(
  { about: "verdict" },
  {
    "end-stop": () =>
      note(
        "At the end of the stroke the end stop takes the moving parts at full speed; joints at the stop are what breaks first in practice, and a stop that breaks lets piston and rod fly.",
        `Check stop, rod and fixings before each shot and keep out of line with the cylinder. ${DEFERENCE}`,
      ),
    "people-down-range": (deference: string) =>
      note(
        "The airframe leaves faster than a person can step aside, and a release below stall speed or with pitch rate can turn it anywhere.",
        `Keep the ground ahead and to the sides clear, and call each shot before arming it. ${deference}`,
      ),
    propeller: () =>
      note(
        "With the battery connected a motor can start at any time, and the push of a launch can move switches and sticks.",
        `Connect the battery only on the launcher, and stay behind and out of the disc of the propeller. ${PROPELLER_DEFERENCE}`,
      ),
  },
);

/** What a drawn line can do. `holds` is a sentence after a space, or nothing. */
export const PULL_NOTICES = noticeCatalogue(
  { about: "model", beside: "pull" },
  {
    "elastic-whip": (holds: string) =>
      note(
        `A line that breaks or slips its anchor whips back along itself and takes hooks and pegs with it.${holds}`,
        `Wear eye protection, keep everyone out of line with it at both ends, and look over line, knots and anchor before each draw. ${ELASTIC_DEFERENCE}`,
      ),
    "elastic-hold": () =>
      note(
        "Between draw and shot only the catch holds the pull; a catch that slips lets the airframe go where it points.",
        `Point it down the range before drawing, and keep hands and face out of the path. ${ELASTIC_DEFERENCE}`,
      ),
    "elastic-carriage": () =>
      note(
        `When the line is slack the carriage still moves as fast as the airframe, and its stop takes it. ${STOP_BREAKS_FIRST} A stop that breaks lets the carriage fly.`,
        `Check stop, buffer and joints before each shot, and keep out of line with the carriage. ${ELASTIC_DEFERENCE}`,
      ),
  },
);

/** Source: Model Rocket Safety Code of the National Association of Rocketry (USA), 2012: misfires. */
const MISFIRE_WAIT_S = 60;

/** The motors installed: class, limits, ignition, distances, tilt, wings. */
export const MOTOR_NOTICES = noticeCatalogue(
  { about: "model", beside: "motors" },
  {
    "rocket-class": (all: string, impulse: string, letter: string) =>
      note(
        `${all} ${impulse}, ${letter}. What counts is the sum of all motors installed, lit or not: two of class C are a D.`,
        `Use only motors certified by a body your country accepts, and compare the sum with what you are licensed to fly. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-over-limit": (over: readonly string[]) =>
      warning(
        `This is more than a model rocket may be (NFPA 1122): ${over.join(", ")}.`,
        `Above these limits the rules of high-power rockets and their licences begin. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-ignition": () =>
      note(
        "A burning motor cannot be stopped, its exhaust sets dry ground alight, and one that has not lit may still light.",
        `Light motors electrically from a distance, through an interlock whose key stays with whoever works at the cradle. After a misfire take the key out and wait ${MISFIRE_WAIT_S} s before anyone goes near. Clear what burns and keep an extinguisher at hand. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-distance": (kept: string) =>
      note(
        `For rockets that climb straight up, the code of the National Association of Rocketry (USA) keeps people at least ${kept}. An airframe boosted at a slant, or turned by its thrust, reaches much farther.`,
        `Do not rely on that distance alone: keep the ground ahead and to the sides clear, stand behind, and call each shot before arming it. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-tilt": (tiltDeg: number, mostDeg: number) =>
      warning(
        `The cradle leans ${Math.round(tiltDeg)}° from the vertical. The codes for model rockets launch within ${mostDeg}° of it.`,
        `Such a shot is no model rocket launch: ask the range and its insurer before planning one. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-wings": () =>
      note(
        "An airframe that wings carry throughout its flight stands outside the flight rules for model rockets (NFPA 1122), though its motors do not; rules for model aircraft apply to the flight.",
        `Ask the club which rules hold. Those of the Academy of Model Aeronautics (USA) keep powered models 7.6 m (25 ft) from everyone but pilot and helpers after launch. ${ROCKET_DEFERENCE}`,
      ),
    "rocket-several-motors": () =>
      note(
        "One motor of several that fails to light, or lights late, turns the airframe as it leaves the cradle.",
        `Mark each motor in turn as not lit and look at what is predicted before a shot. ${ROCKET_DEFERENCE}`,
      ),
  },
);

/** All that this room says. */
export const LAUNCH_NOTICES = {
  ...RATING_NOTICES,
  ...FILL_TO_NOTICES,
  ...TANK_NOTICES,
  ...LOAD_NOTICES,
  ...LINE_NOTICES,
  ...SHOT_CAUTIONS,
  ...PULL_NOTICES,
  ...MOTOR_NOTICES,
};
export type LaunchNoticeCode = CodeOf<typeof LAUNCH_NOTICES>;
