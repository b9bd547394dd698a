import type { FaultCode } from "../../quantity/fault-codes.ts";
import type { Fault, Notice } from "../../quantity/notice.ts";
import { note, noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";

/** Why a shot's clip does not give a measurement. */
export const CLIP_NOTICES = noticeCatalogue(
  { about: "clip" },
  {
    /** The marks were placed in another clip of the same name. */
    "another-clip": (clip: string) =>
      refusal(
        `${clip} is not the clip that the marks were placed in: the file under that name has another content.`,
        "Under Clip, use the clip that was marked, or say that this is the same shot, re-encoded or trimmed.",
      ),
    /** It is not known whether the clip is the one that was marked, because it could not be read. */
    "clip-unread": ({ cause, remedy }: Omit<Fault, "code">) => refusal(cause, remedy),
    /** @param shiftPx how far the middle of the picture moved, at least */
    "camera-moves": (shiftPx: number) => ({
      ...refusal(
        `The camera moved while it filmed, by ${px(shiftPx)} or more: the airframe's movement in the picture is not its own.`,
        'Under Clip, press "Take the camera\'s movement out": the still background is followed, without a mark of yours. From the command line: loftmark steady FOLDER --save.',
      ),
      beside: "movement" as const,
    }),
    /** Too little stands still in the picture, or has detail. */
    "camera-unseen": () => ({
      ...note(
        "Whether the camera moved cannot be seen: too little in the picture stands still and has detail.",
        "Film from a stand, or with a fence, trees or targets in view; mark posts if it was held in the hand.",
      ),
      beside: "movement" as const,
    }),
    "camera-steadied": (shiftPx: number) => ({
      ...note(
        `The camera moved by up to ${px(shiftPx)}; that is taken out by the still background. A camera that was carried, not only turned, shifts near and far differently: ±20 mm/s is allowed for it.`,
        "Posts in the flight plane, marked in every frame, would narrow that.",
      ),
      beside: "movement" as const,
    }),
    "camera-not-followed": (frames: number, first: number) => ({
      ...warning(
        `The camera's movement is not known in ${frames === 1 ? "one frame" : `${frames} frames`} (from ${first} on) that hold marks; these marks are not used.`,
        "Under Clip, take the movement out again, so that it is followed there too; or mark posts in those frames.",
      ),
      beside: "movement" as const,
    }),
    "camera-followed-otherwise": () => ({
      ...refusal(
        "The camera's movement was followed through another lens profile, or in pictures of another size, than the shot has now.",
        "Under Clip, take the movement out again.",
      ),
      beside: "movement" as const,
    }),
  },
);

const px = (value: number) => `${value < 10 ? value.toFixed(1) : value.toFixed(0)} px`;

/** A shot that is refused because its clip cannot be read: the fault that says why lends its code. */
export type ClipRefusal = Notice<FaultCode> & { readonly about: "clip" };

export function clipRefusal({ code, cause, remedy }: Fault): ClipRefusal {
  return { level: "refusal", code, cause, remedy, about: "clip" };
}
