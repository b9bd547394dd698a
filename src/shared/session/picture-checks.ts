import type { ClipFacts } from "./clip-facts.ts";

/** Codecs that may keep a checksum beside each part of a picture: FFV1 does (RFC 9043, slice footer). */
const WITH_CHECKSUMS: ReadonlySet<string> = new Set(["ffv1"]);

/**
 * What can be known of damage in a clip in which none was found, in a sentence. Cameras write formats without
 * checksums: a few wrong bits decode to another valid picture, of which no decoder complains.
 */
export function pictureCheckWords({ codec }: Pick<ClipFacts, "codec">): string {
  return WITH_CHECKSUMS.has(codec)
    ? `${codec} can keep checksums: where its recorder wrote them, a wrong picture is found.`
    : `${codec} keeps no checksums: a few wrong bits may show another picture that nothing gives away.`;
}
