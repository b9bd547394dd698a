import type { About } from "../../quantity/notice.ts";
import { note, noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";

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
    /** @param speeds of release by each other answer, "no launch" where it gives none */
    "other-answers": (speeds: readonly string[]) =>
      warning(
        `The shots that the launcher was tuned on fit ${speeds.length + 1} separate answers about as well; this prediction is by the first. By ${speeds.length === 1 ? "the other" : "the others"} the release speed would be ${speeds.join(" and ")}; its uncertainty holds ${speeds.length === 1 ? "both" : "all"}.`,
        "See under Tuning in which inputs they differ, and measure one of these by other means.",
      ),
    "tuning-broken": (inputs: number) =>
      refusal(
        `Predictions are to use tuned values, but the tuning's values and correlations do not fit its ${inputs === 1 ? "one input" : `${inputs} inputs`}.`,
        TUNE_AGAIN,
      ),
  },
);

const TUNE_AGAIN = "Tune the launcher again, or let predictions use its inputs as stated.";

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
