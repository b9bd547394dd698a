import type { About, Fault } from "../../quantity/notice.ts";
import {
  danger,
  note,
  noticeCatalogue,
  refusal,
  type Told,
  warning,
} from "../../quantity/notice-catalogue.ts";

/** A number of the document that a result rests on. */
export interface ToldInput {
  readonly cause: string;
  readonly remedy: string;
  readonly about: About;
  readonly path?: string;
}

/**
 * Numbers of the document: one that cannot be, and one that is odd enough to ask about. Their heading is that
 * of the input.
 */
export const INPUT_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    "impossible-input": (input: ToldInput) => ({ level: "refusal", ...input }),
    "odd-input": (input: ToldInput) => ({ level: "warning", ...input }),
  },
);

/** An input as `oddestInput` finds it: the likeliest cause of work without end. */
export interface OddInput {
  readonly words: string;
  readonly value: string;
  readonly path: string;
}

const WORK = {
  prediction: {
    cause: "The launch model cannot be followed to the end of the push in reasonable time.",
    about: "model",
    instead: "Check the inputs of the launcher.",
    besides: "",
  },
  setting: {
    cause: "The launch model takes too long at this launcher's inputs to search for a setting.",
    about: "next-shot",
    instead: "Check the inputs of the launcher.",
    besides: "",
  },
  tuning: {
    cause:
      "The tuning takes too long: the launch model is slow at this launcher's inputs, or does not settle.",
    about: "tuning",
    instead: "Choose fewer parameters.",
    besides: " Or choose fewer parameters.",
  },
} as const;

/** Why there is no prediction, whatever the launcher. */
export const MODEL_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    /** @param cause what cannot be done for want of one, where that has to be said */
    "no-launcher": (cause = "No launcher is stated for this shot.") => ({
      ...refusal(cause, "Under Model, describe the launcher, or say which one the shot was thrown by."),
      beside: "sentence",
    }),
    /** @param withIt what belongs to the all-up mass and is easily left out: ", with motors and booster," */
    "no-airframe-mass": (withIt = "") =>
      refusal(
        "The mass of the airframe is not known.",
        withIt === ""
          ? "Weigh it ready to fly and enter the mass."
          : `Weigh it ready to fly${withIt} and enter the mass.`,
      ),
    /** @param shot "this shot"  @param or what could be done instead, after a comma */
    "no-gauge-pressure": (shot = "this shot", or = "") =>
      refusal(
        `The tank's pressure before ${shot} is not known.`,
        `Enter what the gauge read just before the shot${or}.`,
      ),
    "too-much-work": (what: keyof typeof WORK, odd: OddInput | null) => {
      const { cause, about, instead, besides } = WORK[what];
      const check =
        odd === null
          ? instead
          : `Check ${odd.words} first (${odd.path}, ${odd.value}): of all inputs it is farthest from what is usual.${besides}`;
      return { ...refusal(cause, check), about };
    },
    /**
     * @param change a clause: "a small change of the bore keeps the ram from launching"
     * @param edge a sentence's first clause
     */
    "uncertainty-unknown": (change: string, edge: string) =>
      refusal(`The uncertainty of the prediction cannot be found: ${change}.`, `${edge}; check that input.`),
    /** A prediction that threw. */
    "not-predicted": (shot: string) =>
      refusal(
        `${shot} could not be predicted: it met an unexpected problem. Other shots are not affected.`,
        "Check the values last typed for its launcher and its conditions.",
      ),
    /** A throw by hand, where a prediction was asked for. */
    "no-model": () =>
      refusal(
        "No model describes this launcher, so nothing can be predicted.",
        'Measure its shots with "measure"; they stand on their own.',
      ),
  },
);

/** Why tuned values that predictions are to use cannot be used. */
export const TUNED_NOTICES = noticeCatalogue(
  { about: "tuning" },
  {
    "tuning-unknown-input": (path: string) =>
      refusal(
        `Predictions are to use tuned values, but this launcher has no input “${path}” for one of them.`,
        TUNE_AGAIN,
      ),
    /** @param settings each with how far beyond which  @param percent of the release speed, u */
    "beyond-tested": (settings: string, percent: number) =>
      warning(
        `This prediction lies beyond the shots the launcher was tuned on: ${settings} of those shots. ${percent.toPrecision(1)} % of the release speed is added to its uncertainty.`,
        "Measure a shot there and tune on it too.",
      ),
    "tuning-broken": (inputs: number) =>
      refusal(
        `Predictions are to use tuned values, but the tuning's values and correlations do not fit its ${inputs === 1 ? "one input" : `${inputs} inputs`}.`,
        TUNE_AGAIN,
      ),
  },
);

const TUNE_AGAIN = "Tune the launcher again, or let predictions use its inputs as stated.";

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

const LISTED = 3; // guesses that are named; of more, how many

/** Numbers of the launcher that the program put there to begin with. */
export const GUESS_NOTICES = noticeCatalogue(
  { about: "model" },
  {
    /** @param inputs with their articles, in the order of the form */
    "launcher-guessed": (inputs: readonly string[]) => {
      const more = inputs.length - LISTED;
      const listed = more > 1 ? [...inputs.slice(0, LISTED), `${more} more`] : inputs;
      const one = inputs.length === 1;
      const words = one ? inputs[0] : `${listed.slice(0, -1).join(", ")} and ${listed.at(-1)}`;
      return warning(
        `${capital(words ?? "")} ${one ? "is a guess" : "are guesses"} that the launcher began with; nobody has stated ${one ? "it" : "them"}.`,
        "Measure and type each under Model: until then this says what such a launcher does, not what yours does.",
      );
    },
  },
);

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** What a push or a boost leaves out for want of a number of the airframe. */
export const LEFT_OUT_NOTICES = noticeCatalogue(
  { about: "model", beside: "boost" },
  {
    /** @param percent what 0.01 m² of drag area would take of the release speed */
    "push-no-drag": (percent: string) =>
      note(
        `The drag area of the airframe is not known, so drag is left out of the push: 0.01 m² of it would take about ${percent} % of the release speed.`,
        "Enter the drag area; a guess with a wide uncertainty will do.",
      ),
    /** @param missing what is not stated, each with its article */
    "ram-no-pitch": (missing: readonly string[]) =>
      note(
        `How fast the airframe pitches as it leaves is not predicted; not known: ${missing.join(", ")}.`,
        "Enter it under Model, How the airframe sits; the pitch inertia under Verdict. A guess with a wide uncertainty will do.",
      ),
    "rocket-no-drag": () =>
      note(
        "The drag area of the airframe is not known, so drag is left out and the predicted speeds are upper bounds.",
        "Enter the drag area; a guess with a wide uncertainty will do.",
      ),
    "rocket-no-inertia": (missing: readonly string[]) =>
      note(
        `The ${missing.join(" and the ")} of the airframe ${missing.length === 1 ? "is" : "are"} not known, so how fast the thrust turns it is not predicted.`,
        "Enter the moment of inertia about that axis; a swing on two cords gives it.",
      ),
  },
);
