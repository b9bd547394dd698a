import type { ClipEntry } from "../../shared/api/contract.ts";

/** The clips that a shot can be made of. */
export function usableClips(clips: readonly ClipEntry[]): readonly ClipEntry[] {
  return clips.filter((clip) => clip.fault === undefined);
}
