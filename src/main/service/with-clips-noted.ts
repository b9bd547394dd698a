import { FaultError } from "../../shared/quantity/notice.ts";
import { notedClip, withNote } from "../../shared/session/noted-clips.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { ClipFingerprints } from "../media/clip-fingerprint.ts";
import type { MediaOptions } from "../media/media.ts";
import type { FieldFolder } from "../store/field-folder.ts";

/**
 * The session with every clip noted that its shots use: one that was not noted yet is read, so that two
 * folders that hold the same clip can be told. One that cannot be read stays without a note. Saves nothing.
 * @throws the signal's reason when aborted
 */
export async function withClipsNoted(
  session: Session,
  folder: FieldFolder,
  fingerprints: ClipFingerprints,
  options: MediaOptions,
): Promise<Session> {
  let noted = session;
  for (const { clip: name } of session.shots) {
    if (name === null || notedClip(noted, name) !== null) continue;
    try {
      const clip = await folder.findClip(name);
      const fingerprint = await fingerprints.of(clip, options);
      noted = withNote(noted, { name, bytes: clip.bytes, fingerprint });
    } catch (error) {
      // A clip that is not there has no content to count twice.
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
    }
  }
  return noted;
}
