import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { processWorkers } from "../../../src/main/jobs/process-workers.ts";
import type { ClipFingerprints } from "../../../src/main/media/clip-fingerprint.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import type { Media } from "../../../src/main/media/media.ts";
import { followInClip } from "../../../src/main/service/follow-in-clip.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import {
  CLIP_KINDS,
  type ClipKind,
  damageClip,
  type Harm,
  harmedTimes,
  SCENE_FRAMES,
  soundClip,
} from "../../clips/damaged-clips.ts";
import { targetAt } from "../../clips/flying-scene.ts";
import { judge, truthOf } from "../../clips/judge-damage.ts";
import { convertClip, decodeJpegs, FRAMES, H264, HEIGHT, makeClip, WIDTH } from "../../clips/make-clips.ts";
import { readNumber } from "../../clips/numbered-picture.ts";
import { ffmpegPath, ffprobePath, run } from "../../clips/program.ts";
import { faultOf } from "../../support/fault-of.ts";

let folder: string;
let clip: string;
let media: Media;
const at = (name: string) => join(folder, name);

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-damaged-"));
  clip = await makeClip(at("sound.mp4"), [...H264, "-movflags", "+faststart"]);
  media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: at("cache") });
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** Where the packets of a clip lie in its file, in the order of the file: [ticks, byte, bytes]. */
async function packets(path: string): Promise<readonly (readonly [number, number, number])[]> {
  const entries = ["-select_streams", "v:0", "-show_entries", "packet=pts,pos,size", "-of", "compact=p=0"];
  const text = (await run(ffprobePath(), ["-v", "error", ...entries, `file:${path}`])).toString();
  const value = (line: string, name: string) => Number(new RegExp(`\\b${name}=(\\d+)`).exec(line)?.[1]);
  return text
    .split("\n")
    .filter((line) => line.includes("pos="))
    .map((line) => [value(line, "pts"), value(line, "pos"), value(line, "size")]);
}

/** The frames known so far that cannot be shown. */
async function damaged(path: string, facts: ClipFacts): Promise<readonly number[]> {
  return (await media.damage(path, facts)).filter((one) => !one.shown).map(({ frame }) => frame);
}

type Which = "nothing predicted from it" | "others predicted from it";

/** A copy of a clip in which one packet of the second group is spoilt. @returns the frame it is of */
async function spoilt(sound: string, out: string, which: Which, spoil: (data: Buffer) => void) {
  const [data, all] = [await readFile(sound), await packets(sound)];
  const ticksOf = (i: number) => all[i]?.[0] ?? Number.POSITIVE_INFINITY;
  const latest = (i: number) => Math.max(...all.slice(0, i).map(([ticks]) => ticks));
  // Of the frames shown before one that was decoded already, the last before the next
  // step ahead serves no other.
  const packet = all.findIndex((_, i) =>
    i < 26
      ? false
      : which === "nothing predicted from it"
        ? ticksOf(i) < latest(i) && ticksOf(i + 1) > latest(i)
        : ticksOf(i) > latest(i),
  );
  const [ticks, pos, bytes] = all[packet] as readonly [number, number, number];
  spoil(data.subarray(pos, pos + bytes));
  await writeFile(out, data);
  return all.filter(([other]) => other < ticks).length;
}

const inTheMiddle = (data: Buffer) => {
  for (let i = 0; i < 4; i++) data[(data.length >> 1) + i]! ^= 0x5a;
};

/** Every frame that is given, by the number in its picture; and the code for every one that is not. */
async function shown(path: string, facts: ClipFacts): Promise<readonly (number | string)[]> {
  const jpegs: Uint8Array[] = [];
  const all: (Uint8Array | string)[] = [];
  for (let frame = 0; frame < facts.pts.length; frame++) {
    try {
      const jpeg = await media.frame(path, facts, frame, "full");
      jpegs.push(jpeg);
      all.push(jpeg);
    } catch (error) {
      all.push((error as { fault: { code: string } }).fault.code);
    }
  }
  const pictures = await decodeJpegs(jpegs, facts.width, facts.height);
  const numbers = pictures.map((picture) => readNumber(picture, facts.width, facts.height));
  return all.map((one) => (typeof one === "string" ? one : (numbers[jpegs.indexOf(one)] as number)));
}

describe("one damaged frame", () => {
  it("that nothing is predicted from is refused alone, and named with the nearest that can be shown", async () => {
    const path = at("b-frame.mp4");
    const frame = await spoilt(clip, path, "nothing predicted from it", inTheMiddle);
    const facts = await media.inspect(path);
    const all = await shown(path, facts);
    const healthy = Array.from({ length: FRAMES }, (_, i) => (i === frame ? "frame-damaged" : i));
    expect(all).toEqual(healthy);
    const fault = await faultOf(media.frame(path, facts, frame, "full"));
    expect(fault.cause).toContain(`Frame ${frame} of b-frame.mp4 is damaged in the file: ffmpeg says: `);
    expect(fault.remedy).toContain(`use frame ${frame - 1} or ${frame + 1}, the nearest that can be shown`);
    expect(await damaged(path, facts)).toEqual([frame]);
  });

  it("that others are predicted from is refused with those, and the next group is whole", async () => {
    const path = at("p-frame.mp4");
    const frame = await spoilt(clip, path, "others predicted from it", inTheMiddle);
    const facts = await media.inspect(path);
    const all = await shown(path, facts);
    // 24 to 47 is the group; the damaged one is shown at `frame`, B-frames before it are predicted from it.
    expect(all.slice(0, 25)).toEqual(Array.from({ length: 25 }, (_, i) => i));
    expect(all.slice(frame, 48)).toEqual(Array.from({ length: 48 - frame }, () => "frame-damaged"));
    expect(all.slice(48)).toEqual(Array.from({ length: FRAMES - 48 }, (_, i) => 48 + i));
  });

  it("puts those beside it in the file in doubt, which are shown", async () => {
    const path = at("beside.mp4");
    const frame = await spoilt(clip, path, "nothing predicted from it", inTheMiddle);
    const facts = await media.inspect(path);
    await media.extract(path, facts, 0, FRAMES - 1, "full");
    const order = (await packets(path)).map(([ticks]) => facts.pts.indexOf(ticks));
    const place = order.indexOf(frame);
    const doubtful = (await media.damage(path, facts)).filter((one) => one.shown);
    const why = `it lies in the file beside frame ${frame}, which is damaged`;
    for (const beside of [order[place - 1], order[place + 1]]) {
      expect(doubtful).toContainEqual({ frame: beside, why, shown: true });
    }
    // What is predicted from those is in doubt too, and nothing of another group.
    expect(doubtful.every((one) => one.frame >= 24 && one.frame < 48)).toBe(true);
    expect((await shown(path, facts)).filter((one) => typeof one === "string")).toEqual(["frame-damaged"]);
  });

  it("is still known when the clip gets the name of its content", async () => {
    const path = at("named-later.mp4");
    const frame = await spoilt(clip, path, "nothing predicted from it", (data) => data.fill(0));
    let isRead = false;
    const fingerprints: ClipFingerprints = {
      of: async () => (isRead ? "content" : Promise.reject(new Error("still being written"))),
      known: async () => null,
    };
    const own = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: at("cache-named"), fingerprints });
    const facts = await own.inspect(path);
    await own.extract(path, facts, 0, FRAMES - 1, "half");
    const before = await own.damage(path, facts);
    expect(before.map((one) => one.frame)).toContain(frame);
    isRead = true;
    expect(await own.damage(path, facts)).toEqual(before);
  });

  it("stops neither an extraction, nor the comparing of neighbours, nor grey frames either way", async () => {
    const path = at("b-frame-2.mp4");
    const frame = await spoilt(clip, path, "others predicted from it", (data) => data.fill(0));
    const facts = await media.inspect(path);
    await media.extract(path, facts, 0, FRAMES - 1, "half");
    expect(await media.frame(path, facts, 48, "half")).toHaveLength(
      (await media.frame(clip, facts, 48, "half")).length,
    );
    const differences = await media.differences(path, facts);
    const known = await damaged(path, facts);
    expect(known).toContain(frame);
    for (let i = 1; i < FRAMES; i++) {
      expect(differences[i] === null).toBe(known.includes(i) || known.includes(i - 1));
    }
    const healthy = Array.from({ length: FRAMES }, (_, i) => i).filter((i) => !known.includes(i));
    for (const [from, to] of [
      [0, FRAMES - 1],
      [FRAMES - 1, 0],
    ] as const) {
      const seen: number[] = [];
      for await (const { index, image } of media.grey(path, facts, from, to)) {
        seen.push(index);
        expect(readNumber(Uint8Array.from(image.data, Math.round), WIDTH, HEIGHT)).toBe(index);
      }
      expect(seen).toEqual(from === 0 ? healthy : [...healthy].reverse());
    }
  });

  it("does not stop a follower, and a frame to follow from that is damaged is said", async () => {
    const kind = {
      name: "scene",
      extension: "mp4",
      encoder: "libx264",
      options: [...H264, "-movflags", "+faststart"],
    };
    const sound = await soundClip(kind, folder);
    const path = at("scene-damaged.mp4");
    const frame = await spoilt(sound, path, "nothing predicted from it", inTheMiddle);
    const facts = await media.inspect(path);
    const order = (from: number) => ({
      clip: facts.name,
      point: "target",
      seed: { frame: from, at: targetAt(from, SCENE_FRAMES), u: 0.1 },
      hands: [],
      to: SCENE_FRAMES - 1,
      exposureShare: null,
    });
    const follow = async (clip: string, at: number) =>
      (await followInClip(media, processWorkers(), clip, facts, [order(at)]))[0]!;
    const { runs, end } = await follow(path, 15);
    expect(end).toBeNull();
    const marks = runs.flatMap((one) => one.marks);
    const known = await damaged(path, facts);
    expect(known).toContain(frame);
    const expected = Array.from({ length: SCENE_FRAMES - 16 }, (_, i) => 16 + i).filter(
      (i) => !known.includes(i),
    );
    expect(marks.map((mark) => mark.frame)).toEqual(expected);
    // The pictures are the same, and what differs is where each search began.
    const whole = (await follow(sound, 15)).runs.flatMap((one) => one.marks);
    for (const { frame: on, at: place } of marks) {
      const [x, y] = whole.find((mark) => mark.frame === on)?.at ?? [Number.NaN, Number.NaN];
      expect(Math.hypot(place[0] - x, place[1] - y)).toBeLessThan(0.05);
    }
    const fault = await faultOf(follow(path, frame));
    expect(fault).toMatchObject({ code: "frame-damaged", cause: expect.stringContaining(`Frame ${frame}`) });
  });
});

describe("a healthy frame close before damage in a transport stream", () => {
  it.each([
    ["that the reader calls corrupt and no decoder minds", "h264-ts", "double", 16043979],
    ["that a decoder swallows with damage it says nothing of", "hevc-ts", "zeros", 16043927],
  ] as const)("%s is shown, and nothing wrong without a word", async (_, name, harm: Harm, seed) => {
    const kind = CLIP_KINDS.find((one) => one.name === name) as ClipKind;
    const sound = await soundClip(kind, folder);
    const [path, cache] = [at(`${harm}-${name}.ts`), at(`cache-${name}`)];
    await damageClip(sound, path, harm, seed);
    const truth = await truthOf(sound, cache);
    const judged = await judge(path, truth, await harmedTimes(sound, path, harm), cache);
    expect(judged.right).toBeGreaterThan(30);
    expect(judged.healthyRefused).toEqual([]);
    expect(judged.wrong).toEqual(judged.named);
  });
});

describe("an AVI in which a frame cannot be found", () => {
  it("shows what comes before, and nothing at a wrong time after it", async () => {
    for (const codec of [
      ["-c:v", "mpeg4", "-q:v", "3", "-bf", "0", "-g", "12"],
      ["-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj420p"],
    ]) {
      const sound = await convertClip(clip, [], codec, at(`whole-${codec[1]}.avi`));
      expect((await media.inspect(sound)).misplacedFrom).toBeUndefined();
      const [data, all] = [await readFile(sound), await packets(sound)];
      const lost = 30;
      const [, pos] = all[lost] as readonly [number, number, number];
      data.fill(0, pos - 8, pos + 2000); // the name and the length of its chunk too
      const path = at(`lost-${codec[1]}.avi`);
      await writeFile(path, data);
      const facts = await media.inspect(path);
      expect(facts.pts.length).toBeLessThan(FRAMES);
      const first = facts.misplacedFrom as number;
      expect(first).toBeGreaterThanOrEqual(lost - 2);
      expect(first).toBeLessThanOrEqual(lost);
      const given = await shown(path, facts);
      expect(given.slice(0, first)).toEqual(Array.from({ length: first }, (_, i) => i));
      expect(new Set(given.slice(first))).toEqual(new Set(["frame-damaged"]));
    }
  });
});

describe("a clip that is cut off", () => {
  it("is opened with the frames that are whole, and says that it ends early: MP4, Matroska", async () => {
    const matroska = await convertClip(clip, [], ["-c", "copy"], at("whole.mkv"));
    for (const [name, whole, share] of [
      ["no-end.mp4", clip, 0.8],
      ["no-end.mkv", matroska, 0.6],
    ] as const) {
      const data = await readFile(whole);
      await writeFile(at(name), data.subarray(0, Math.floor(data.length * share)));
      const facts = await media.inspect(at(name));
      const count = facts.pts.length;
      expect(facts.endsEarly).toBe(true);
      expect(facts.constantRate).toBe(true);
      expect(count).toBeGreaterThan(FRAMES * (share - 0.25));
      expect(count).toBeLessThan(FRAMES);
      expect(await shown(at(name), facts)).toEqual(Array.from({ length: count }, (_, i) => i));
    }
    expect((await media.inspect(clip)).endsEarly).toBeUndefined();
  });

  it("is refused when no frame of it is whole", async () => {
    const data = await readFile(clip);
    const [, first] = (await packets(clip))[0] as readonly [number, number, number];
    await writeFile(at("nothing.mp4"), data.subarray(0, first + 20));
    expect((await faultOf(media.inspect(at("nothing.mp4")))).code).toBe("clip-cut-off");
  });
});
