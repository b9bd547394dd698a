import { asFault, type Fault, FaultError } from "../../shared/quantity/notice.ts";
import { CLIP_NOTICES } from "../../shared/results/notices/clip-notices.ts";
import { clipStanding, type NotedClip, notedClip } from "../../shared/session/noted-clips.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { ClipFingerprints } from "../media/clip-fingerprint.ts";
import type { MediaOptions } from "../media/media.ts";
import type { FieldFolder, FoundClip } from "../store/field-folder.ts";

/**
 * The clip of a name, if its content is what the session noted when its marks were placed; a clip that was
 * never noted is taken as it is. One that is renamed or moved in the folder is named in the remedy, but not
 * taken: that is the person's word.
 * @throws FaultError "another-clip", or as findClip and the fingerprints do
 */
export async function findNotedClip(
  session: Session,
  folder: FieldFolder,
  name: string,
  fingerprints: ClipFingerprints,
  options: MediaOptions = {},
): Promise<FoundClip> {
  const noted = notedClip(session, name);
  let fault: Fault = asFault(CLIP_NOTICES["another-clip"](name));
  try {
    const clip = await folder.findClip(name);
    if (noted === null || (await isNoted(clip, noted, fingerprints, options))) return clip;
  } catch (error) {
    const missing = error instanceof FaultError && error.fault.code === "no-such-clip";
    if (!missing || noted === null) throw error;
    fault = error.fault;
  }
  const found = await renamed(folder, noted, fingerprints, options);
  const remedy =
    found === null
      ? fault.remedy
      : `${found} is the clip that was marked: choose it for the shot under Clip.`;
  throw new FaultError(fault.code, fault.cause, remedy);
}

async function isNoted(
  clip: FoundClip,
  noted: NotedClip,
  fingerprints: ClipFingerprints,
  options: MediaOptions,
): Promise<boolean> {
  const { bytes } = clip;
  const standing = clipStanding(noted, { bytes, fingerprint: null });
  if (standing !== "unread") return standing === "same";
  return clipStanding(noted, { bytes, fingerprint: await fingerprints.of(clip, options) }) === "same";
}

/** Name of another file of the folder that holds the very content that was noted; null when there is none. */
async function renamed(
  folder: FieldFolder,
  noted: NotedClip,
  fingerprints: ClipFingerprints,
  options: MediaOptions,
): Promise<string | null> {
  for (const { name, bytes } of await folder.listClips()) {
    if (name === noted.name || bytes !== noted.bytes) continue;
    try {
      if (await isNoted(await folder.findClip(name), noted, fingerprints, options)) return name;
    } catch (error) {
      // A file that cannot be read (any more) is not the one; the shot's own fault is what is told.
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
    }
  }
  return null;
}
