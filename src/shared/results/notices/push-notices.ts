import type { Fault } from "../../quantity/notice.ts";
import {
  danger,
  note,
  noticeCatalogue,
  refusal,
  type Told,
  warning,
} from "../../quantity/notice-catalogue.ts";

/** Why a push does not launch: what the ram and the elastic line share, and each its own. */
export const PUSH_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    "no-pressure": (gauge: string) =>
      refusal(
        `The tank's gauge pressure of ${gauge} is not above that of the air outside.`,
        "Enter what the gauge read just before the shot, above 0.",
      ),
    "never-moves": (by: "ram" | "line", force: string, needed: string) =>
      by === "ram"
        ? refusal(
            `The ram never starts: the push reaches ${force} and break-away needs ${needed}.`,
            "Check gauge pressure, bore, angle and break-away friction.",
          )
        : refusal(
            `The line never moves the airframe: it pulls ${force} at the draw, and weight and friction hold ${needed}.`,
            "Check draw, tables, number of lines, angle and friction.",
          ),
    stalls: (where: StallsWhere) => stallsTold(where),
    "too-stiff": () =>
      refusal(
        "The valve is so large for the dead volume that the model cannot follow the filling in reasonable time.",
        "Check the valve's conductance and the dead volume.",
      ),
    "elastic-gives-back-more": (givenBack: string, drawnIn: string) =>
      refusal(
        `The unloading table holds ${givenBack}, more than the ${drawnIn} of the loading table: no line gives back more than it took.`,
        "Check whether the two tables are exchanged, and the forces in them.",
      ),
    /** @param at travel at which it leaves  @param closed whether the rod side is closed */
    "leaves-early": (at: string, of: string, speed: string, closed: boolean) =>
      warning(
        `The airframe leaves the ram after ${at} of the ${of} stroke, at ${speed}: from there on the ram would have to pull it. The ram goes on alone.`,
        `If a latch holds the airframe until the end of the stroke, say so under Model. Else more pressure, a larger tank${closed ? " or vent" : ""}, or a shorter stroke keeps it pushed to the end.`,
      ),
    "elastic-no-unloading": (drawnIn: string) =>
      warning(
        `How the line pulls while it is let in is not known. Drawing it out takes ${drawnIn}, less comes back: the predicted speed is an upper bound.`,
        "Measure the force at the same extensions while letting the line in, and enter that table too.",
      ),
  },
);

/**
 * Where a push came to rest, as it is shown: a ram that did not start in a time, or that stopped; an airframe
 * on a line.
 */
type StallsWhere =
  | { readonly by: "ram"; readonly afterS: string }
  | { readonly by: "ram" | "line"; readonly at: string; readonly of: string };

function stallsTold(where: StallsWhere): Told {
  if ("afterS" in where) {
    return refusal(
      `The ram has not started after ${where.afterS}: the drive chamber never reaches the break-away pressure.`,
      "Check the leak, the valve, gauge pressure and break-away friction.",
    );
  }
  return where.by === "ram"
    ? refusal(
        `The ram stops after ${where.at} of its ${where.of} stroke.`,
        "Check gauge pressure, valve, friction and the rod side's vent.",
      )
    : refusal(
        `The airframe stops after ${where.at} of the ${where.of} to where the line is slack.`,
        "Check draw, tables, angle and friction.",
      );
}

/** What keeps the tank from being filled to the pressure of a shot. */
export const FILL_NOTICES = noticeCatalogue(
  { about: "model", beside: "fill" },
  {
    "pump-cannot-reach": (most: string) =>
      warning(
        `The hand pump cannot fill the tank to the pressure of this shot: with its clearance it ends at about ${most} gauge.`,
        "Check the stroke's volume and the clearance, or fill by other means.",
      ),
  },
);

/** What the force-extension tables of a line say. */
export const TABLE_NOTICES = noticeCatalogue(
  { about: "model", beside: "tables" },
  {
    "elastic-energy": (drawnIn: string, givenBack: string, lostPercent: number) =>
      note(
        `Drawing the line out takes ${drawnIn}; it gives back ${givenBack}, and ${lostPercent} % stays in it as heat.`,
        "A table measured slowly leaves out what is lost to speed, and rubber pulls less when cold.",
      ),
    /** @param percent by which the release speed differs  @param less whether straight lines give less */
    "elastic-coarse-table": (points: number, percent: string, less: boolean) =>
      warning(
        `Between the ${points} points of the table that the force falls through a smooth curve is drawn; straight lines would give ${percent} % ${less ? "less" : "more"} release speed. What lies between the points is not in the ± of the prediction.`,
        "Measure the force at more points, most of all where it bends.",
      ),
    "elastic-longer-draw": (from: string) =>
      note(
        `The unloading table was let in from ${from} or more, further than this draw; from a shorter draw the line gives back somewhat more.`,
        "Measure the unloading table from the draw that is used.",
      ),
  },
);

const asTold = ({ cause, remedy }: Omit<Fault, "code">) => refusal(cause, remedy);

/** What is wrong with a motor's thrust curve: the fault of the curve, which names the motor. */
export const CURVE_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    "rocket-thrust-curve-short": asTold,
    "rocket-thrust-curve-long": asTold,
    "rocket-thrust-curve-number": asTold,
    "rocket-thrust-curve-time": asTold,
    "rocket-thrust-curve-order": asTold,
    "rocket-thrust-curve-negative": asTold,
    "rocket-thrust-curve-none": asTold,
    "rocket-thrust-curve-end": asTold,
  },
);

/** Why a boost does not leave the cradle, and what to know of one that does. */
export const BOOST_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    "rocket-thrust": (motor: string, burn: string, riseAndFall: string) =>
      refusal(
        `Motor “${motor}” burns ${burn} (impulse over mean thrust), but rise and fall together take ${riseAndFall}.`,
        "Shorten rise or fall, or check impulse and mean thrust.",
      ),
    "rocket-not-followed": () =>
      refusal(
        "The boost changes faster than the model can follow.",
        "Check mass, drag area and thrust curves for a misplaced decimal point.",
      ),
    "rocket-no-motor-lit": () =>
      refusal("No motor is lit, so nothing pushes.", "Mark at least one motor as lit."),
    "rocket-never-lifts-off": (thrust: string, needed: string) =>
      refusal(
        `The airframe never lifts off: the thrust along the cradle reaches ${thrust} where weight, drag and friction hold ${needed}.`,
        "Check thrust curves, mass, angle of the cradle and friction.",
      ),
    "rocket-never-leaves": (at: string, rail: string) =>
      refusal(
        `The airframe comes to rest after ${at} of its ${rail} along the cradle.`,
        "Check thrust curves, delays, mass, angle of the cradle and friction.",
      ),
    "rocket-separates-on-cradle": (time: string, at: string) =>
      refusal(
        `The ejection charge parts the booster after ${time}, while the airframe is still on the cradle at ${at}.`,
        "Check ignition delays and the time to the ejection charge.",
      ),
    /** @param over whether it turns so far that it does not point the way any more */
    "rocket-turns": (turns: readonly string[], over: boolean) =>
      (over ? danger : warning)(
        `Thrust beside the centre of gravity turns the airframe until burnout, if nothing opposes it: ${turns.join("; ")}.${over ? " It may go anywhere." : ""}`,
        "Bring the thrust line to the centre of gravity, pair motors from one batch, and trust position and speed after the cradle only while the turn is small.",
      ),
    "rocket-turns-over": (turned: string, after: string) =>
      refusal(
        `Thrust beside the centre of gravity has turned the airframe by ${turned} when it leaves the cradle after ${after}: it goes over on the cradle, and no release speed can be told.`,
        "Do not launch so. Check which motors light and when, bring the thrust line to the centre of gravity, or use a cradle that keeps the airframe in line.",
      ),
    "rocket-parts-burning": (partsAfterS: number, motors: readonly string[]) => {
      const one = motors.length === 1;
      return warning(
        `The booster parts ${partsAfterS} s after ignition, while ${quoted(motors)} still ${one ? "burns" : "burn"} or ${one ? "has" : "have"} yet to light.`,
        "A booster under thrust can strike the airframe: take motors with the same burn, or a longer time to the charge.",
      );
    },
    "rocket-unlit": (motors: readonly string[]) =>
      note(`Predicted with ${quoted(motors)} not lit.`, "Mark it as lit again for the shot as planned."),
  },
);

function quoted(names: readonly string[]): string {
  return names.map((name) => `“${name}”`).join(", ");
}
