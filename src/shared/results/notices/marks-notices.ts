import { noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";
import { type NamedFrame, namedStretches } from "./named-stretches.ts";

const noMovement = () =>
  warning(
    "The marks of the posts do not give the camera's movement; it is not taken out.",
    "Mark the same posts in every frame of the launch.",
  );

/** What the marks of airframe and posts lack, or where they do not fit together. */
export const MARKS_NOTICES = noticeCatalogue(
  { about: "marks" },
  {
    "too-few-points": () =>
      refusal(
        "Fewer than two points of the airframe are marked together, so its pitch cannot be seen.",
        "Mark two points far apart on the airframe, such as nose and tail, in the same frames.",
      ),
    "no-centre-of-gravity": () =>
      warning(
        "The centre of gravity is not given; the middle between the two points most marked stands in for it.",
        "Under Marks, give the distance from the forward point to the balance point.",
      ),
    /** @param pairs named for both points: "nose and tail" */
    "marks-swapped": (pairs: readonly NamedFrame[]) => ({
      ...warning(
        `Two points seem to be marked for each other: ${namedStretches(pairs)}. These marks were left out.`,
        "Under Marks, swap them back, or look at those frames again.",
      ),
      beside: "swapped" as const,
    }),
    "marks-beyond-clip": (marks: number, lastFrame: number) =>
      warning(
        `${marks} marks lie after the clip's last frame (${lastFrame}) and are not used.`,
        "Check that the shot names the clip the marks were placed in.",
      ),
    "shake-no-posts": noMovement,
    "shake-reference-without-post": noMovement,
    "shake-not-converged": noMovement,
    "shake-unsupported": (frames: number, first: number) =>
      warning(
        `No post is marked in ${frames} frames (from ${first} on); their marks are not used.`,
        "Mark a post in those frames too.",
      ),
    "shake-disagrees": (postId: string, frame: number) =>
      warning(
        `The posts do not move as one still scene; "${postId}" in frame ${frame} is farthest off.`,
        "Look at that mark again, and check that every post really stands still.",
      ),
  },
);
