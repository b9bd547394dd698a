import type { Notice } from "../quantity/notice.ts";
import { type CodeOf, note, noticeCatalogue, warning } from "../quantity/notice-catalogue.ts";

/**
 * What a person should know of a tuning. Inputs come in by their words, lists of them as "the bore and the
 * leak".
 */
export const TUNE_NOTICES = noticeCatalogue(
  { about: "tuning" },
  {
    "tune-fits": (shots: number, numbers: string) =>
      note(
        `The model follows ${shots === 1 ? "the shot" : `the ${shots} shots`} to within the marks' scatter (${numbers}).`,
        "",
      ),
    /** @param byChance a share of the time, or "less than once in 1000" */
    "tune-misfit": (times: number, numbers: string, byChance: string, isNoisy: boolean) => ({
      level: isNoisy ? "warning" : "note",
      cause: `The model misses the shots by ${times.toFixed(1)} times the marks' scatter (${numbers}; by chance ${byChance}). The uncertainties are widened by as much.`,
      remedy:
        "See in the figures where model and marks part: a leak, a vent or a slow valve may be missing from the launcher.",
    }),
    /**
     * @param answers how many, the tuned values among them
     * @param more chi-square of the next one above them
     */
    "tune-other-answers": (answers: number, more: number) =>
      warning(
        `The shots fit ${answers} separate answers about as well (chi-square ${more.toFixed(1)} more): started elsewhere, the fit ends elsewhere. The table has ${answers === 2 ? "both" : "all"}, and predictions by the first say what the ${answers === 2 ? "other gives" : "others give"}.`,
        "Measure one of the inputs in which they differ by other means and state it, or tune on a shot that tells them apart.",
      ),
    "tune-undetermined": (inputs: string, count: number) =>
      warning(
        `The shots do not determine ${inputs}: ${count === 1 ? "it stays" : "they stay"} as stated.`,
        "Use shots at other pressures, mark more frames of the push, or measure it on the bench.",
      ),
    "tune-together": (inputs: string) =>
      note(
        `The shots do determine ${inputs} together, but not which of them it is.`,
        "Measuring one of them by other means gives the other.",
      ),
    /** @param one capitalised, as it begins the sentence */
    "tune-close": (one: string, other: string, correlation: number) =>
      note(
        `${one} and ${other} are closely correlated (correlation ${correlation.toFixed(2).replace("-", "−")}): their combination is known better than either alone.`,
        "Predictions use them together; do not read much into one of them alone.",
      ),
    "tune-far": (input: string, inU: number) =>
      warning(
        `The tuned ${input} lies ${inU.toFixed(1)} of its stated uncertainties from its stated value.`,
        "Check how it was measured; it may make up for something the model leaves out.",
      ),
    "tune-far-guess": (input: string) =>
      note(
        `The tuned ${input} lies far from the guess that stood in its place; nobody had stated it.`,
        "Measure it by other means where that is possible, and type it: the others are then surer.",
      ),
    "tune-own-far": (shot: string, input: string, farInU: number) =>
      warning(
        `${shot} fits only with its ${input} more than ${farInU} of its uncertainties off.`,
        "Check what was noted for that shot, or leave the shot out.",
      ),
    "tune-no-scatter": (shots: number) =>
      note(
        `${shots === 1 ? "One shot tells" : "Two shots tell"} nothing of the scatter from shot to shot; none is counted in predictions.`,
        "Tune on three shots or more.",
      ),
    /** @param size with its uncertainty */
    "tune-unstated": (input: string, size: string) =>
      warning(
        `The shots show ${input} of ${size} that nobody stated; the tuned values stand beside it, and predictions count it.`,
        "Look for it on the launcher, and state it under Model if it is there: it may also stand for something else that the model leaves out.",
      ),
    /** @param most that fits as well, in 95 of 100 */
    "tune-unstated-open": (input: string, most: string) =>
      note(
        `${input} of up to ${most} that nobody stated fits these shots as well; what it would do to the tuned values is in their uncertainties.`,
        "State what you know of it under Model, if only that there is none: the tuned values are then surer.",
      ),
    "tune-early": (relative: number) =>
      note(
        `Early in the push speed scatters by ${(100 * relative).toFixed(1)} % from shot to shot beyond that, as with a valve that opens sooner or later; it is in the uncertainties.`,
        "",
      ),
    "tune-scatter": (relative: number) =>
      note(
        relative === 0
          ? "Release speed scatters no more from shot to shot than measuring it and reading the gauge explain."
          : `Release speed scatters by ${(100 * relative).toFixed(1)} % from shot to shot, beyond measuring it and reading the gauge.`,
        "",
      ),
  },
);
export type TuneNotice = Notice<CodeOf<typeof TUNE_NOTICES>>;
