import { type ClipStanding, clipStanding, notedClip } from "../../shared/session/noted-clips.ts";
import type { AppState } from "./app-state.ts";

/**
 * How a clip's file stands to what the document noted of it; null while the file is not
 * known, or cannot be read.
 */
export function standingOf({ known, history }: AppState, clip: string): ClipStanding | null {
  const knowledge = known[clip];
  if (knowledge?.status !== "known") return null;
  const { facts, fingerprint } = knowledge;
  return clipStanding(notedClip(history.present, clip), { bytes: facts.bytes, fingerprint });
}
