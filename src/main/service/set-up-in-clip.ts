import type { ClipPicture } from "../../shared/carry/find-set-up.ts";
import { framesToLookAt, type LookedForSetUp, ratesBetween } from "../../shared/carry/look-for-set-up.ts";
import { shotPicks } from "../../shared/carry/sought-picks.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import type { Workers } from "../jobs/workers.ts";
import type { Media, MediaOptions } from "../media/media.ts";

/** A clip with what is known of it. */
export interface KnownClip {
  readonly path: string;
  readonly facts: ClipFacts;
}

/**
 * Looks for a former shot's set-up on another clip: in the frames it was picked in, and in some of the other
 * clip's, spread over it. The pictures are compared in a thread.
 * @throws FaultError "no-set-up" where nothing was picked; as Media.grey does; or the signal's reason
 */
export async function setUpInClip(
  media: Media,
  workers: Workers,
  session: Session,
  former: { readonly shot: Shot; readonly clip: KnownClip },
  other: KnownClip,
  options: MediaOptions = {},
): Promise<LookedForSetUp> {
  const sought = shotPicks(session, former.shot);
  if (sought.length === 0) {
    throw new FaultError(
      "no-set-up",
      `Nothing is picked or marked in ${former.shot.name} that could be found again.`,
      "Choose a shot with a scale and marked points.",
    );
  }
  const last = former.clip.facts.pts.length - 1;
  const frames = [...new Set(sought.map(({ frame }) => Math.min(frame, last)))].sort((a, b) => a - b);
  const tell = (fraction: number) =>
    options.onProgress?.({ fraction, doing: `Looking for the set-up of ${former.shot.name}` });
  const before = await pictures(media, former.clip, frames, options);
  tell(0.2);
  const now = await pictures(media, other, framesToLookAt(other.facts.pts.length), options);
  tell(0.4);
  const there = new Set(before.map(({ frame }) => frame));
  const shown = sought.filter(({ frame }) => there.has(frame));
  if (shown.length === 0 || now.length === 0) throw damaged(former.shot.name);
  const { lens = null } = session.cameras.find(({ id }) => id === former.shot.cameraId) ?? {};
  const task = { kind: "carry", sought: shown, former: before, pictures: now, lens } as const;
  const outcome = await workers.run(null, task, { signal: options.signal });
  return { outcome, rates: ratesBetween(former.clip.facts, other.facts) };
}

/** Single frames of a clip; damaged ones are left out. */
async function pictures(
  media: Media,
  { path, facts }: KnownClip,
  frames: readonly number[],
  { signal }: MediaOptions,
): Promise<readonly ClipPicture[]> {
  const all: ClipPicture[] = [];
  for (const frame of frames) {
    for await (const { index, image } of media.grey(path, facts, frame, frame, signal ? { signal } : {})) {
      all.push({ frame: index, image });
    }
  }
  return all;
}

function damaged(name: string): FaultError {
  return new FaultError(
    "frame-damaged",
    `The frames in which ${name} was set up, or all those looked at of the other clip, are damaged in the file.`,
    "Copy the clips from the card again, or set this shot up by hand.",
  );
}
