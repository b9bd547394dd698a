import type { Notice } from "../quantity/notice.ts";

/** Refuses to measure marks that were placed in another clip of the same name. */
export function anotherClip(clip: string): Notice {
  return {
    level: "refusal",
    code: "another-clip",
    cause: `${clip} is not the clip that the marks were placed in: the file under that name has another content.`,
    remedy:
      "Under Clip, use the clip that was marked, or say that this is the same shot, re-encoded or trimmed.",
  };
}
