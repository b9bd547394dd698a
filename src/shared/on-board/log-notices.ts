import type { Notice } from "../quantity/notice.ts";
import { type CodeOf, note, noticeCatalogue, refusal, warning } from "../quantity/notice-catalogue.ts";

/** What is said of a log carried on board. */
export const LOG_NOTICES = noticeCatalogue(
  { about: "verdict" },
  {
    "log-no-mass": () =>
      refusal(
        "The mass of the airframe is not known, and what the air takes from it depends on it.",
        "Weigh it ready to fly and enter the mass.",
      ),
    "log-no-angle": () =>
      refusal(
        "The launch angle is not known: the footage gives none, and no launcher states its direction.",
        "Measure the shot, or describe the launcher under Model.",
      ),
    "log-low-angle": (angle: string) =>
      refusal(
        `Launched at ${angle}, heights say little of the speed, and lift decides the path.`,
        "Take an accelerometer, or a launch steeper than 20°.",
      ),
    /** @param what "readings before the launch", and so on */
    "log-few": (what: string, found: number, needed: number) =>
      refusal(
        `The log has ${found} ${what}; ${needed} are needed.`,
        "Let the logger run from a few seconds before the launch, and faster.",
      ),
    "log-nothing": (what: string) =>
      refusal(what, "Check the column, its unit, and that the log is that of this shot."),
    "log-not-followed": (scatter: string, ground: string) =>
      warning(
        `The readings lie ${scatter} about the flight of a thrown body, and ${ground} at rest: lift, a pilot's hand or a slow sensor bends them. The ± hold only for a thrown body.`,
        "State a shorter stretch after release.",
      ),
    "log-drag-unseen": (drag: string) =>
      note(
        `The drag area found, ${drag}, is not clear of 0: this stretch does not show the drag.`,
        "Take a longer stretch, or a faster logger.",
      ),
    "log-agrees": (log: string, other: string, inU: string) =>
      note(
        `The log says ${log}, ${other}: they agree (${inU} times their combined uncertainty).`,
        "It is independent of camera, clock and scale.",
      ),
    "log-differs": (log: string, other: string, inU: string) =>
      warning(
        `The log says ${log}, ${other}: ${inU} times their combined uncertainty apart.`,
        "Check the rod and the capture rate, the logger's unit and its gain, and whether the log is that of this shot.",
      ),
    "log-alone": (log: string) =>
      note(
        `The log says ${log}; no measured speed stands beside it.`,
        "Measure the shot to hold it against the footage.",
      ),
    "log-changed": () =>
      warning(
        "The log in the folder is not the one this shot was held against: its content has changed.",
        "Take it again if it is meant.",
      ),
  },
);

export type LogNotice = Notice<CodeOf<typeof LOG_NOTICES>>;
