import type { Heading } from "../../quantity/notice.ts";
import { note, noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";

/** What keeps frames from becoming seconds, or makes that doubtful. */
export const CLOCK_NOTICES = noticeCatalogue(
  { about: "clock" },
  {
    "no-clock": () => ({
      ...refusal(
        "The shot has no clock: nothing says how much time lies between two frames.",
        "Under Clock, give the capture rate the camera was set to, with its uncertainty.",
      ),
      beside: "sentence",
    }),
    "no-timestamps": () =>
      refusal(
        "The clock is set to the frames' own timestamps, but the clip could not be read.",
        "Put the clip back into the field folder, or give the capture rate instead.",
      ),
    /** @param what "Release"  @param frame as it is shown  @param about where it was typed */
    "beyond-clip": (what: string, frame: string, lastFrame: number, about: Heading) => ({
      ...refusal(
        `${what} is given as frame ${frame}; the last frame of the clip is ${lastFrame}.`,
        "Correct the frame, and check that the shot names the clip it was seen in.",
      ),
      about,
    }),
    "rate-u-assumed": (kind: "capture-rate" | "timestamps") =>
      kind === "capture-rate"
        ? note(
            "No uncertainty is stated of the capture rate; 0.2 % of it is assumed.",
            "Under Clock, type what it is good to, or check it with a drop or a lamp in view.",
          )
        : note(
            "No uncertainty is stated of the file's clock; 0.01 % is assumed.",
            "Under Clock, type what it is good to.",
          ),
    "rates-disagree": (offHz: number) =>
      warning(
        `The stated capture rate and its checks disagree by ${offHz.toFixed(1)} Hz, far more than their uncertainties allow. The stated rate is used, as uncertain as that.`,
        "Check the camera's setting and the marks of the drop or the lamp; one of them is wrong.",
      ),
    /** @param ratio, u of the bend across the path over gravity's */
    /** @param frame as it is shown  @param howFar "8.2 ± 0.2 times as far" */
    "motion-shows-parts": (frame: string, howFar: string, others: number) => ({
      ...refusal(
        `At frame ${frame} the airframe begins to move ${howFar} from frame to frame, the same way and without a push that would do it${others > 0 ? `; so at ${others === 1 ? "one more frame" : `${others} more frames`}` : ""}: the file holds more than one capture rate, and no time across a border is right.`,
        "Under Clip, take the parts that were found, or state them under Clock; if the stated rate is right all the same, say so there.",
      ),
      about: "clip" as const,
      beside: "parts" as const,
    }),
    /** The person said that the rates are as stated. */
    "rates-stand": (frame: string, howFar: string) => ({
      ...note(
        `At frame ${frame} the airframe begins to move ${howFar} from frame to frame. It is said that the capture rate is as stated all the same.`,
        "If the clip holds other rates after all, state its parts under Clock.",
      ),
      about: "clip" as const,
      beside: "parts" as const,
    }),
    "flight-bends-more": (ratio: number, u: number) =>
      warning(
        `After release the path bends down ${ratio.toFixed(2)} ± ${u.toFixed(2)} times as much as gravity alone bends it. If nothing pushes the airframe down, lengths times the square of the capture rate are too large by that.`,
        "Check the capture rate first, then the length of the rod and whether it lay in the flight plane; a drop or a lamp in view tells the two apart.",
      ),
    "stamps-show-gaps": (gaps: readonly GapTold[]) =>
      warning(
        `The file's timestamps show ${gapsTold(gaps)}, for which the clock does not allow: all that follows seems too early, and the speed there too high.`,
        "Under Clock, allow for the missing frames.",
      ),
    /** The path of a marked point steps on farther than its speed before and after. */
    "motion-shows-gaps": (gaps: readonly GapTold[]) =>
      warning(
        `The airframe steps on as if the camera had lost ${gapsTold(gaps)}: there the speed seems too high, and all that follows too early.`,
        "Look at the marks beside; if they are right, allow for the missing frames under Clock.",
      ),
    blurred: (blurPx: number, exposureThatWouldDoS: number) =>
      warning(
        `At release the airframe smears over ${blurPx.toFixed(1)} px while a frame is exposed.`,
        shorterExposure(exposureThatWouldDoS),
      ),
  },
);

/** Frames that are missing after one, as they are told. */
export interface GapTold {
  readonly afterFrame: number;
  readonly missing: number;
}

/** "3 missing frames, after frame 41" */
function gapsTold(gaps: readonly GapTold[]): string {
  const count = gaps.reduce((sum, { missing }) => sum + missing, 0);
  const [first] = gaps;
  const where = `${gaps.length > 1 ? "the first " : ""}after frame ${first?.afterFrame}`;
  return `${count === 1 ? "one missing frame" : `${count} missing frames`}, ${where}`;
}

/** What helps against blur. */
export function shorterExposure(exposureThatWouldDoS: number): string {
  return `Expose for 1/${Math.ceil(1 / exposureThatWouldDoS)} s or less, with more light.`;
}

/** What is wrong or doubtful with a dropped object as a check of the clock. */
export const DROP_NOTICES = noticeCatalogue(
  { about: "clock" },
  {
    "drop-too-few-marks": (marks: number | undefined, needed: number) =>
      warning(
        `The dropped object is marked in ${marks ?? "too few"} frames; the drop check needs ${needed} or more.`,
        "Mark it in more frames of its fall.",
      ),
    "drop-not-falling": () =>
      warning(
        "The marks of the dropped object do not show a fall.",
        "Mark it over a longer stretch of its fall.",
      ),
    "drop-rises-first": () =>
      warning(
        "The object is marked before it was let go, or it was thrown up.",
        "Remove the marks before it falls.",
      ),
    "drop-no-free-fall": () =>
      warning(
        "The dropped object does not fall freely: its path has a bend that gravity and drag do not explain.",
        "Mark it only between letting go and landing, and drop something dense.",
      ),
    "drop-marks-scatter": () =>
      warning(
        "The marks of the dropped object scatter more than their stated uncertainty.",
        "Look at them again with more zoom.",
      ),
    "drop-drag-left-out": () =>
      warning(
        "The drag of the dropped object is left out, so the capture rate comes out too high.",
        "Give its mass and diameter under Clock; a steel ball hardly needs it.",
      ),
    "drop-over-border": () =>
      warning(
        "The drop lies across a border between two parts of the clip, at two capture rates: it tells neither.",
        "Mark the fall within one part, or correct the border under Clock.",
      ),
    "drop-leans": () =>
      warning(
        "The fall leans against the plumb.",
        "Check the plumb, and that the object was let go, not thrown.",
      ),
  },
);

const MARK_EVERY_CHANGE =
  "Mark the first frame of every change, without leaving one out, over as long a stretch as the clip allows.";
const noRate = () =>
  warning(
    "The lamp's changes do not give a capture rate: too few, too close together, or one was missed.",
    MARK_EVERY_CHANGE,
  );

/** What is wrong or doubtful with a lamp as a check of the clock. */
export const LAMP_NOTICES = noticeCatalogue(
  { about: "clock" },
  {
    "lamp-too-few-events": noRate,
    "lamp-too-short": noRate,
    "lamp-miscounted": noRate,
    "lamp-over-border": () =>
      warning(
        "The lamp's changes lie across a border between two parts of the clip, at two capture rates: they tell neither.",
        "Mark only changes within one part, or correct the border under Clock.",
      ),
    "lamp-uneven": () =>
      warning(
        "The lamp's changes are not evenly spaced, so the capture rate from it is less certain.",
        MARK_EVERY_CHANGE,
      ),
  },
);
