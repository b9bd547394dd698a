import { createHash } from "node:crypto";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import type { Media } from "../../src/main/media/media.ts";
import { followInClip } from "../../src/main/service/follow-in-clip.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";
import { type ClipFacts, timestampsS } from "../../src/shared/session/clip-facts.ts";
import { targetAt } from "./flying-scene.ts";
import { ffmpegPath, run } from "./program.ts";

/** What the product made of one damaged clip, held against the sound one. */
export interface Judged {
  /** Frames listed; 0 when the clip was refused as a whole. */
  readonly frames: number;
  /** Code of the fault that refused the clip or the work on it; null when none did. */
  readonly refusedAs: string | null;
  /** Frames that were shown though the sound clip has another picture at that time. */
  readonly wrong: readonly number[];
  /** Frames of `wrong` that were named as damaged or doubtful all the same. */
  readonly named: readonly number[];
  /** Frames that any decoder gives exactly, and that were refused. */
  readonly healthyRefused: readonly number[];
  /** Frames that were given and are right. */
  readonly right: number;
  /** Marks that following through the whole clip gave; null where no frame could be followed from. */
  readonly followed: number | null;
}

/** What a sound clip shows: its pictures as the product gives them, and as raw samples, by time. */
export interface Truth {
  readonly jpegs: ReadonlyMap<string, string>;
  readonly raw: ReadonlyMap<string, string>;
  readonly count: number;
}

export async function truthOf(sound: string, cacheDir: string): Promise<Truth> {
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
  const facts = await media.inspect(sound);
  const jpegs = new Map<string, string>();
  const times = timestampsS(facts);
  for (let frame = 0; frame < times.length; frame++) {
    if (frame === 0) await media.extract(sound, facts, 0, times.length - 1, "full");
    jpegs.set(atTime(times[frame] as number), hash(await media.frame(sound, facts, frame, "full")));
  }
  return { jpegs, raw: await rawPictures(sound), count: times.length };
}

/** Opens, extracts and follows a damaged clip as the program does. */
export async function judge(clip: string, truth: Truth, cacheDir: string): Promise<Judged> {
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
  const nothing = { frames: 0, wrong: [], named: [], healthyRefused: [], right: 0, followed: null };
  const raw = await rawPictures(clip).catch(() => new Map<string, string>());
  let facts: ClipFacts;
  try {
    facts = await media.inspect(clip);
  } catch (error) {
    // Every picture that a decoder gives exactly counts as refused.
    const healthy = [...raw].filter(([time, picture]) => truth.raw.get(time) === picture);
    return { ...nothing, healthyRefused: healthy.map((_, i) => i), refusedAs: codeOf(error) };
  }
  const times = timestampsS(facts);
  let refusedAs: string | null = null;
  await media.extract(clip, facts, 0, times.length - 1, "full").catch((error: unknown) => {
    refusedAs = codeOf(error);
  });
  const [wrong, healthyRefused, shown]: [number[], number[], number[]] = [[], [], []];
  for (let frame = 0; frame < times.length; frame++) {
    const time = atTime(times[frame] as number);
    try {
      const jpeg = hash(await media.frame(clip, facts, frame, "full"));
      if (truth.jpegs.get(time) === jpeg) shown.push(frame);
      else wrong.push(frame);
    } catch (error) {
      codeOf(error);
      if (raw.has(time) && raw.get(time) === truth.raw.get(time)) healthyRefused.push(frame);
    }
  }
  const known = new Set((await media.damage(clip, facts)).map(({ frame }) => frame));
  return {
    frames: times.length,
    refusedAs,
    wrong,
    named: wrong.filter((frame) => known.has(frame)),
    healthyRefused,
    right: shown.length,
    followed: await followed(media, clip, facts, shown[0], truth.count),
  };
}

/** Follows the target from the first frame that is right to the end of the clip. */
async function followed(
  media: Media,
  clip: string,
  facts: ClipFacts,
  from: number | undefined,
  count: number,
): Promise<number | null> {
  if (from === undefined || from === facts.pts.length - 1) return null;
  const number = Math.round((timestampsS(facts)[from] as number) * 30 - firstTime(facts) * 30);
  const seed = { frame: from, at: targetAt(number, count), u: 0.1 };
  const order = {
    clip: facts.name,
    point: "target",
    seed,
    hands: [],
    to: facts.pts.length - 1,
    exposureShare: null,
  };
  const { runs } = await followInClip(media, processWorkers(), clip, facts, order);
  return runs.reduce((sum, { marks }) => sum + marks.length, 0);
}

/** s; the scene's first frame is shown at the file's start, which some containers put late. */
function firstTime(facts: ClipFacts): number {
  return /mpegts/.test(facts.container) ? Math.round(facts.startS * 30) / 30 : 0;
}

function codeOf(error: unknown): string {
  if (error instanceof FaultError) return error.fault.code;
  throw error;
}

const atTime = (seconds: number) => seconds.toFixed(3);
const hash = (data: Uint8Array) => createHash("sha256").update(data).digest("hex");

/** Every picture that plain ffmpeg gives, as a checksum of its samples, by time. */
async function rawPictures(clip: string): Promise<ReadonlyMap<string, string>> {
  const read = [
    "-v",
    "quiet",
    "-nostdin",
    "-copyts",
    "-max_error_rate",
    "1",
    "-threads",
    "1",
    "-i",
    `file:${clip}`,
  ];
  const write = ["-map", "0:V:0", "-vsync", "passthrough", "-enc_time_base", "-1", "-c:v", "rawvideo"];
  const text = (
    await run(ffmpegPath(), [...read, ...write, "-f", "framehash", "-hash", "md5", "-"])
  ).toString();
  const [, num, den] = /^#tb 0: (\d+)\/(\d+)/m.exec(text) ?? [];
  return new Map(
    [...text.matchAll(/^0,\s*-?\d+,\s*(-?\d+),\s*\d+,\s*\d+,\s*([0-9a-f]+)/gm)].map(([, ticks, sum]) => [
      atTime((Number(ticks) * Number(num)) / Number(den)),
      sum as string,
    ]),
  );
}
