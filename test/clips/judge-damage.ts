import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import type { Media } from "../../src/main/media/media.ts";
import { followInClip } from "../../src/main/service/follow-in-clip.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";
import { type ClipFacts, timestampsS } from "../../src/shared/session/clip-facts.ts";
import { SCENE_HEIGHT, SCENE_WIDTH, targetAt } from "./flying-scene.ts";
import { decodeJpegs } from "./make-clips.ts";
import { ffmpegPath, run } from "./program.ts";

/** What the product made of one damaged clip, held against the sound one. */
export interface Judged {
  /** Frames listed; 0 when the clip was refused as a whole. */
  readonly frames: number;
  /** Code of the fault that refused the clip or the work on it; null when none did. */
  readonly refusedAs: string | null;
  /**
   * Frames that were shown though the sound clip has another picture at that time: somewhere a block
   * of 8 x 8 px differs by more than SEEN. Less is no more than the coders of the clip and of the
   * pictures do by themselves.
   */
  readonly wrong: readonly number[];
  /** Frames of `wrong` that were named as doubtful. */
  readonly named: readonly number[];
  /** Frames that the harm does not reach and any decoder gives exactly, and that were refused. */
  readonly healthyRefused: readonly number[];
  /** Frames that were given and are right. */
  readonly right: number;
  /** Marks that following through the whole clip gave; null where nothing could be followed to or from. */
  readonly followed: number | null;
}

/** What a sound clip shows: its pictures as the product gives them, and as raw samples, by time. */
export interface Truth {
  /** Grey levels, row by row. */
  readonly grey: ReadonlyMap<string, Uint8Array>;
  readonly raw: ReadonlyMap<string, string>;
  readonly count: number;
}

export async function truthOf(sound: string, cacheDir: string): Promise<Truth> {
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
  const facts = await media.inspect(sound);
  const jpegs: Uint8Array[] = [];
  const times = timestampsS(facts);
  for (let frame = 0; frame < times.length; frame++) {
    if (frame === 0) await media.extract(sound, facts, 0, times.length - 1, "full");
    jpegs.push(await media.frame(sound, facts, frame, "full"));
  }
  const pictures = await decodeJpegs(jpegs, SCENE_WIDTH, SCENE_HEIGHT);
  const grey = new Map(pictures.map((picture, i) => [atTime(times[i] as number), picture]));
  return { grey, raw: await rawPictures(sound), count: times.length };
}

/**
 * Opens, extracts and follows a damaged clip as the program does.
 * @param reached times of the pictures that the harm reaches, s
 */
export async function judge(
  clip: string,
  truth: Truth,
  reached: readonly number[],
  cacheDir: string,
): Promise<Judged> {
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
  const nothing = { frames: 0, wrong: [], named: [], healthyRefused: [], right: 0, followed: null };
  const raw = await rawPictures(clip).catch(() => new Map<string, string>());
  const out = new Set(reached.map(atTime));
  const isHealthy = (time: string) =>
    !out.has(time) && raw.has(time) && raw.get(time) === truth.raw.get(time);
  let facts: ClipFacts;
  try {
    facts = await media.inspect(clip);
  } catch (error) {
    // Every picture that a decoder gives exactly counts as refused.
    const healthy = [...raw.keys()].filter(isHealthy);
    return { ...nothing, healthyRefused: healthy.map((_, i) => i), refusedAs: codeOf(error) };
  }
  const times = timestampsS(facts);
  let refusedAs: string | null = null;
  await media.extract(clip, facts, 0, times.length - 1, "full").catch((error: unknown) => {
    refusedAs = codeOf(error);
  });
  const [given, healthyRefused, jpegs]: [number[], number[], Uint8Array[]] = [[], [], []];
  for (let frame = 0; frame < times.length; frame++) {
    const time = atTime(times[frame] as number);
    try {
      jpegs.push(await media.frame(clip, facts, frame, "full"));
      given.push(frame);
    } catch (error) {
      codeOf(error);
      if (isHealthy(time)) healthyRefused.push(frame);
    }
  }
  const pictures = jpegs.length === 0 ? [] : await decodeJpegs(jpegs, SCENE_WIDTH, SCENE_HEIGHT);
  const isRight = (frame: number, i: number) => {
    const wanted = truth.grey.get(atTime(times[frame] as number));
    return wanted !== undefined && worstBlock(pictures[i] as Uint8Array, wanted) <= SEEN;
  };
  const shown = given.filter(isRight);
  const wrong = given.filter((frame, i) => !isRight(frame, i));
  const known = new Set((await media.damage(clip, facts)).map(({ frame }) => frame));
  return {
    frames: times.length,
    refusedAs,
    wrong,
    named: wrong.filter((frame) => known.has(frame)),
    healthyRefused,
    right: shown.length,
    followed: await followed(media, clip, facts, given, firstOfTwo(shown), truth.count),
  };
}

/** The first frame that is right and has a right one after it; the first, where there is none. */
const firstOfTwo = (shown: readonly number[]): number | undefined =>
  shown.find((frame, i) => shown[i + 1] === frame + 1) ?? shown[0];

/** Follows the target from a frame that is right to the end of the clip, if a later one was given. */
async function followed(
  media: Media,
  clip: string,
  facts: ClipFacts,
  given: readonly number[],
  from: number | undefined,
  count: number,
): Promise<number | null> {
  if (from === undefined || given.at(-1) === from) return null;
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
  const [followed] = await followInClip(media, processWorkers(), clip, facts, [order]);
  return followed!.runs.reduce((sum, { marks }) => sum + marks.length, 0);
}

/** s; the scene's first frame is shown at the file's start, which some containers put late. */
function firstTime(facts: ClipFacts): number {
  return /mpegts/.test(facts.container) ? Math.round(facts.startS * 30) / 30 : 0;
}

function codeOf(error: unknown): string {
  if (error instanceof FaultError) return error.fault.code;
  throw error;
}

const SEEN = 6; // grey levels, mean over a block
const BLOCK = 8; // px

/** The greatest mean difference of a block, grey levels. */
function worstBlock(a: Uint8Array, b: Uint8Array): number {
  let worst = 0;
  for (let y = 0; y < SCENE_HEIGHT; y += BLOCK) {
    for (let x = 0; x < SCENE_WIDTH; x += BLOCK) {
      let sum = 0;
      for (let i = 0; i < BLOCK ** 2; i++) {
        const at = (y + Math.floor(i / BLOCK)) * SCENE_WIDTH + x + (i % BLOCK);
        sum += Math.abs((a[at] as number) - (b[at] as number));
      }
      worst = Math.max(worst, sum / BLOCK ** 2);
    }
  }
  return worst;
}

const atTime = (seconds: number) => seconds.toFixed(3);

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
