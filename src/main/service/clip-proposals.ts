import { createHash } from "node:crypto";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { ProposalsSchema } from "../../shared/api/job-contract.ts";
import type { GreyImage } from "../../shared/follow/grey-image.ts";
import { type FrameRun, firstMoved, launchIn, tileMeans } from "../../shared/propose/first-motion.ts";
import type { Proposals } from "../../shared/propose/proposals.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Workers } from "../jobs/workers.ts";
import { fingerprintsOfProcess } from "../media/clip-fingerprint.ts";
import type { Media, MediaOptions } from "../media/media.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FoundClip } from "../store/field-folder.ts";

const EDITION = 2; // raise when looking comes to find more
const BEFORE = 40; // frames before the tiny copies show motion: a push that begins slowly shows later in them
const WHILE = 4; // frames in which they do
const STILL = 3; // frames before the first that moves: at rest, and what they show is where the push begins

/** Looks through a clip for what a person may want to take over. */
export type ClipProposals = (clip: FoundClip, facts: ClipFacts, options?: MediaOptions) => Promise<Proposals>;

/**
 * Makes looks that are kept in the cache directory under what the clip holds: no copy of a clip is looked at
 * again. The clip is decoded once to tiny copies, then a few frames as they are.
 */
export function createClipProposals(media: Media, workers: Workers, cacheDir: string): ClipProposals {
  const directory = join(cacheDir, "proposals");
  const fingerprints = fingerprintsOfProcess(cacheDir);

  return async (clip, facts, options = {}) => {
    const content = await fingerprints.of(clip, options).catch((error: unknown) => {
      if (!(error instanceof FaultError) || options.signal?.aborted === true) throw error;
      return null;
    });
    if (content === null) return look(clip.path, facts, options);
    const key = createHash("sha256")
      .update(JSON.stringify([EDITION, content]))
      .digest("hex")
      .slice(0, 40);
    const file = join(directory, `${key}.json`);
    const kept = await readKept(file);
    if (kept !== null) return kept;
    const found = await look(clip.path, facts, options);
    await mkdir(directory, { recursive: true })
      .then(() => writeAtomically(file, JSON.stringify(found)))
      // A cache that cannot be written costs time at the next start, nothing else.
      .catch(() => {});
    return found;
  };

  async function look(path: string, facts: ClipFacts, options: MediaOptions): Promise<Proposals> {
    const doing = `Looking for what moves in ${facts.name}`;
    const tell = (fraction: number, what = doing) => options.onProgress?.({ fraction, doing: what });
    const levels = await media.differences(path, facts, {
      ...options,
      onProgress: ({ fraction }) => tell(0.8 * fraction),
    });
    const coarse = launchIn(levels);
    const moves = coarse === null ? null : await refined(path, facts, coarse, options);
    const frame = moves === null ? 0 : Math.max(0, moves.first - STILL);
    tell(0.85, `Looking for targets in ${facts.name}`);
    const before = await picture(path, facts, frame, options);
    const after = moves === null ? null : await picture(path, facts, endOf(moves, facts), options);
    const things =
      before === null
        ? { targets: [], rods: [], lines: [] }
        : await workers.run(null, { kind: "propose", before, after }, { signal: options.signal });
    return { frame, moves, levels: levels.map((level) => Math.round(level ?? 0)), ...things };
  }

  /** The launch with its first frame as the pictures themselves show it. */
  async function refined(
    path: string,
    facts: ClipFacts,
    { first, last }: FrameRun,
    options: MediaOptions,
  ): Promise<FrameRun> {
    const [from, to] = [Math.max(0, first - BEFORE), Math.min(facts.pts.length - 1, first + WHILE - 1)];
    const frames: number[] = [];
    const tiles: Float32Array[] = [];
    for await (const { index, image } of media.grey(path, facts, from, to, options)) {
      frames.push(index);
      tiles.push(tileMeans(image));
    }
    const at = firstMoved(tiles);
    return { first: Math.min(first, (at === null ? undefined : frames[at]) ?? first), last };
  }

  async function picture(
    path: string,
    facts: ClipFacts,
    frame: number,
    options: MediaOptions,
  ): Promise<GreyImage | null> {
    for await (const { image } of media.grey(path, facts, frame, frame, options)) return image;
    return null; // damaged
  }
}

/** A frame in which the launch is over, as far as the clip shows that. */
function endOf({ last }: FrameRun, { pts }: ClipFacts): number {
  return Math.min(pts.length - 1, last + STILL);
}

async function readKept(file: string): Promise<Proposals | null> {
  try {
    return ProposalsSchema.parse(JSON.parse(await readFile(file, "utf8")));
  } catch {
    return null; // Not there, or of another edition: looked at again.
  }
}
