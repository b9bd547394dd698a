import type { FaultCode } from "../../quantity/fault-codes.ts";
import type { Fault, Notice } from "../../quantity/notice.ts";
import { noticeCatalogue, refusal } from "../../quantity/notice-catalogue.ts";

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
  },
);

/** A shot that is refused because its clip cannot be read: the fault that says why lends its code. */
export type ClipRefusal = Notice<FaultCode> & { readonly about: "clip" };

export function clipRefusal({ code, cause, remedy }: Fault): ClipRefusal {
  return { level: "refusal", code, cause, remedy, about: "clip" };
}
