/** What is known of the decoding of a stretch of frames. Frames are indices of the clip. */
export interface Decoding {
  /** Frames in the order they are decoded; null for a packet of no frame that is listed. */
  readonly order: readonly (number | null)[];
  readonly isKey: (frame: number) => boolean;
  /** Whether another frame may be predicted from it. */
  readonly isReference: (frame: number) => boolean;
}

/**
 * Frames that cannot be trusted, each with the reason: the damaged ones themselves, and from each that others
 * may be predicted from on, all that are decoded up to the next key frame, and those after it that are shown
 * before it (an open group).
 * @param roots damaged frames and why
 * @param gaps frames before which something was lost: they may be predicted from it
 */
export function spoiltFrames(
  { order, isKey, isReference }: Decoding,
  roots: ReadonlyMap<number, string>,
  gaps: ReadonlyMap<number, string>,
): ReadonlyMap<number, string> {
  const spoilt = new Map(roots);
  let since: string | null = null;
  let before: { readonly key: number; readonly since: string } | null = null;
  for (const frame of order) {
    if (frame === null) continue;
    if (isKey(frame)) {
      before = since === null ? null : { key: frame, since };
      since = null;
    } else if (gaps.has(frame)) since ??= gaps.get(frame) as string;
    const from = since ?? (before !== null && frame < before.key ? before.since : null);
    if (from !== null && !spoilt.has(frame)) spoilt.set(frame, from);
    if (roots.has(frame) && isReference(frame))
      since ??= `it is predicted from frame ${frame}, which is damaged`;
  }
  return spoilt;
}
