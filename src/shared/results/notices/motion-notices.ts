import type { Heading } from "../../quantity/notice.ts";
import { noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";
import { type NamedFrame, namedStretches } from "./named-stretches.ts";

/** Why marks do not carry a motion, and what to doubt about one that came out. */
export const MOTION_NOTICES = noticeCatalogue(
  { about: "motion" },
  {
    "no-axis": () =>
      refusal(
        "The two points of the pitch reference line are not marked together in enough frames.",
        "Mark both in the same frames, ten or more, through the push and after it.",
      ),
    "too-few-frames": (found: number, needed: number) =>
      refusal(
        `Only ${found} frames carry marks; a motion needs ${needed} or more.`,
        "Mark more frames: some before first motion, all of the push, and five or more after release.",
      ),
    "no-motion": () =>
      refusal(
        "The marked points do not move beyond the marks' own scatter.",
        "Mark the frames of the launch itself, from before first motion until after release.",
      ),
    "no-push": (found: number, needed: number) =>
      refusal(
        `Only ${found} marked frames lie after first motion; push and free flight together need ${needed} or more.`,
        "Mark more frames of the push and of the flight after it.",
      ),
    /** @param speed at the last mark, as it is shown  @param burnsOn whether this launcher pushes on */
    "no-flight": (speed: string, burnsOn: boolean) =>
      refusal(
        `The marks do not show that the airframe has left: it may still be pushed in the last marked frame, where its speed is ${speed}. The release cannot be told.`,
        burnsOn
          ? "A motor that burns on hides where the launcher was left: under Motion, say after which travel, or in which frame."
          : "Mark more frames after the airframe has left, ten or more.",
      ),
    /** @param how as it is shown: what the airframe gains beyond gravity, or loses */
    "pushed-on": (how: string, gains: boolean) =>
      refusal(
        gains
          ? `After the release that the motion shows the airframe still gains ${how} beyond gravity: something pushes on, a motor or the launcher itself, or the camera moves.`
          : `After the release that the motion shows the airframe loses ${how} beyond gravity, more than the air could take: something brakes it, the camera moves, or the marks are not of the flight.`,
        "Mark more frames of free flight. For a rocket, describe the launcher under Model, then say under Motion after which travel it is free, or in which frame.",
      ),
    undetermined: () =>
      refusal(
        "The marks do not determine the motion.",
        "Mark more frames around release; if release was given by hand, check that marked frames lie on both sides of it.",
      ),
    "marks-set-aside": (marks: readonly NamedFrame[]) => {
      const one = marks.length === 1;
      return warning(
        `${one ? "One mark does" : `${marks.length} marks do`} not fit the motion and ${one ? "was" : "were"} left out: ${namedStretches(marks)}.`,
        "Look at those frames again and correct the marks, or remove them.",
      );
    },
    "marks-noisier": (ratio: number) =>
      warning(
        `The marks scatter ${ratio.toFixed(1)} times as much as their stated uncertainty; results use the scatter found.`,
        "State a larger uncertainty for the marks, or place them with more zoom.",
      ),
    "marks-lasting": (correlation: number) =>
      warning(
        `The errors of the marks last: each is like that of the frame before (correlation ${correlation.toFixed(1)}). The uncertainties allow for it.`,
        "Where a follower placed them, check it against marks by hand in a few frames; a compressed or blurred clip does this.",
      ),
    /** @param size as it is shown, on the flight plane */
    "marks-together": (size: string) =>
      warning(
        `All marks of a frame are off together, by about ${size}: the camera moves, and the motion follows it. The uncertainties allow for as much of it as can be told from what the motion leaves over.`,
        "Under Scale, mark two or more posts that stand still, in every marked frame.",
      ),
    "marks-or-plane": (ratio: number) =>
      warning(
        `The marks fit a rigid airframe ${ratio.toFixed(1)} times worse than their stated uncertainty. Either they are placed less well, or the picture is bent where the airframe flew: the camera has no lens profile, and known points hold only between them.`,
        "Look at the marks with the largest misfit. If they sit well, find the lens profile under Scale, or mark known points along the whole flight.",
      ),
    "no-rest": () =>
      warning(
        "The first marks already show motion. What hangs on where it began is not given: first motion, push time, travel and the means of the push, and the peak where it may lie before the first mark.",
        "Mark six or more frames before the airframe starts to move.",
      ),
    "no-push-seen": () =>
      warning(
        "The marks show no push, or fewer than three frames of it. Results are those of the flight, at its first marked frame; nothing is said of the push.",
        "Mark the frames of the push and some before it, where the picture shows them; a higher capture rate gives more of them.",
      ),
    /** @param part "the start", "the end" or "a part" of the push */
    "push-unmarked": (first: number, last: number, part: string) =>
      warning(
        `Frames ${first} to ${last}, which hold ${part} of the push, carry no marks; the motion there is inferred from the frames around them.`,
        "Mark some of those frames.",
      ),
    "against-direction": (stated: "right" | "left") =>
      warning(
        `The airframe flies to the ${stated === "right" ? "left" : "right"} in the picture, but the shot says it flies to the ${stated}; launch angle and pitch are counted from the wrong side.`,
        `Under Clip, choose that the airframe flies to the ${stated === "right" ? "left" : "right"}.`,
      ),
    "not-converged": () =>
      warning(
        "The fit did not settle completely; the results may be off by more than they state.",
        "Mark more frames around release, and look at the marks with the largest misfit.",
      ),
    /** @param what line of the budget  @param reached how much of u it could move  @param about its place */
    "uncertainty-cut-short": (what: string, reached: number, about: Heading) => ({
      ...warning(
        `Something that the line “${what}” of the budget rests on is so uncertain that the shot cannot be measured when it is off by more than ${reached.toPrecision(2)} of its standard uncertainty; its part is taken in proportion.`,
        "State it more closely: measure it again, or check the ± typed for it.",
      ),
      about,
    }),
    /** @param what line of the budget  @param about where it is stated */
    "uncertainty-unknown-part": (what: string, about: Heading) => ({
      ...refusal(
        `The shot cannot be measured when something that the line “${what}” of the budget rests on is off by even a small part of its uncertainty, so no result can be given with its ±.`,
        "State it more closely: measure it again, or check the value and the ± typed for it.",
      ),
      about,
    }),
    "draws-without-motion": (failed: number, tried: number) =>
      warning(
        `In ${failed} of ${tried} draws of all inputs within their uncertainties the shot could not be measured; the ± leaves those draws out and may be too small.`,
        "Reduce the largest uncertainty of the budget first.",
      ),
    "release-separation": (differenceS: number, uS: number) =>
      releaseElsewhere("The rod's tip falls behind the airframe", "the release in use", differenceS, uS),
    "release-change-point": (differenceS: number, uS: number) =>
      releaseElsewhere("The push ends in the motion", "the release you saw", differenceS, uS),
    /** @param found,stated as they are shown */
    "release-travel": (found: string, stated: string) =>
      warning(
        `The push ends in the motion after ${found} of travel; release is stated after ${stated}.`,
        "Check the travel that you stated and the scale; if the launcher stops pushing before the airframe is free of it, let release be found in the motion.",
      ),
    /** A measurement that threw, or never ended. @param why a clause: "something in it was not foreseen" */
    "not-measured": (shot: string, why: string) =>
      refusal(
        `${shot} could not be measured: ${why}. Other shots are not affected.`,
        "Check the value last typed for this shot, its camera or its launcher, or undo the last change. If none of them is at fault, report it with the lines that Loftmark wrote to its terminal.",
      ),
    /**
     * A measurement that the window ended.
     * @param changed what was changed last, as a person calls it; null when not known
     */
    "took-too-long": (shot: string, seconds: number, changed: string | null) =>
      refusal(
        `The computation of ${shot} was stopped: it had no result after ${seconds} s.`,
        changed === null
          ? "Undo the last change, or check the value you typed last."
          : `Check ${changed}, which was changed last, or undo that change.`,
      ),
  },
);

function releaseElsewhere(what: string, than: string, differenceS: number, uS: number) {
  const ms = (s: number) => `${(1000 * s).toFixed(1)} ms`;
  return warning(
    `${what} ${ms(Math.abs(differenceS))} ${differenceS > 0 ? "after" : "before"} ${than} (± ${ms(uS)}).`,
    "Look at the frames around release; mark more of them, or say yourself which frame it is.",
  );
}
