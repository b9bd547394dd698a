import { chmod, copyFile, mkdtemp, readdir, readFile, rm, stat, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type ClipFingerprints, createClipFingerprints } from "../../../src/main/media/clip-fingerprint.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { decodeJpegs, H264, HEIGHT, makeClip, WIDTH } from "../../clips/make-clips.ts";
import { readNumber } from "../../clips/numbered-picture.ts";
import { ffmpegPath } from "../../clips/program.ts";

let folder: string;
let clip: string;
let facts: ClipFacts;
let serial = 0;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-cache-"));
  clip = await makeClip(join(folder, "long.mp4"), [...H264, "-vf", "scale=640:384:flags=neighbor"], 600);
  facts = await createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(folder, "none") }).inspect(clip);
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const freshCache = () => join(folder, `cache-${serial++}`);

/** Packs that could be served, e.g. "full-0-6", and what lies half made. */
async function contents(cacheDir: string): Promise<{ packs: string[]; halfMade: string[] }> {
  const top = await readdir(cacheDir).catch(() => []);
  const halfMade = top.filter((name) => /^(making|trash)-/.test(name));
  const clips = top.filter((name) => /^[0-9a-f]{32}$/.test(name));
  const packs = await Promise.all(clips.map((name) => readdir(join(cacheDir, name)).catch(() => [])));
  return { packs: packs.flat().sort(), halfMade };
}

/** The one folder of a clip in a cache. */
async function clipKey(cacheDir: string): Promise<string> {
  const keys = (await readdir(cacheDir)).filter((name) => /^[0-9a-f]{32}$/.test(name));
  expect(keys).toHaveLength(1);
  return keys[0] as string;
}

async function numberOf(jpeg: Uint8Array): Promise<number> {
  const [picture] = await decodeJpegs([jpeg], facts.width, facts.height);
  return readNumber(picture as Uint8Array, facts.width, facts.height);
}

/** A stand-in for ffmpeg that notes every extraction and then does `how`, a line of shell with $FFMPEG. */
async function wrapped(how: string): Promise<{ path: string; extractions(): Promise<number> }> {
  const path = join(folder, `wrapped-${serial++}`);
  const log = `${path}.log`;
  const script = `#!/bin/sh\nFFMPEG='${ffmpegPath()}'\ncase "$*" in *image2pipe*) echo x >>'${log}'; ${how};; esac\nexec "$FFMPEG" "$@"\n`;
  await writeFile(path, script);
  await chmod(path, 0o755);
  const extractions = async () => (await readFile(log, "utf8").catch(() => "")).split("x").length - 1;
  return { path, extractions };
}

describe.skipIf(process.platform === "win32")("how often ffmpeg runs (stand-in is a shell script)", () => {
  it("once for a range asked for twice at the same time, and for a frame inside it", async () => {
    const go = join(folder, `go-${serial++}`);
    const ffmpeg = await wrapped(`while [ ! -e '${go}' ]; do sleep 0.02; done`);
    const media = createMedia({ ffmpegPath: ffmpeg.path, cacheDir: freshCache() });
    const both = [1, 2].map(() => media.extract(clip, facts, 100, 139, "half"));
    // A frame that comes before the range has a stretch of its own, and the range is made around it.
    await expect.poll(() => ffmpeg.extractions()).toBe(1);
    const inside = media.frame(clip, facts, 120, "half");
    await writeFile(go, "");
    await Promise.all(both);
    expect((await inside).length).toBeGreaterThan(500);
    expect(await ffmpeg.extractions()).toBe(1);
  });

  it("not at all for what an earlier run of the program left in the cache", async () => {
    const ffmpeg = await wrapped(":");
    const cacheDir = freshCache();
    await createMedia({ ffmpegPath: ffmpeg.path, cacheDir }).extract(clip, facts, 0, 9, "full");
    const jpeg = await createMedia({ ffmpegPath: ffmpeg.path, cacheDir }).frame(clip, facts, 9, "full");
    expect(await numberOf(jpeg)).toBe(9);
    expect(await ffmpeg.extractions()).toBe(1);
  });

  it("few times for stepping through many frames one by one", async () => {
    const ffmpeg = await wrapped(":");
    const media = createMedia({ ffmpegPath: ffmpeg.path, cacheDir: freshCache() });
    for (let frame = 200; frame < 290; frame++) await media.frame(clip, facts, frame, "half");
    // 199 to 204 after the jump, then 48 at a time: 205 to 252, 253 to 300.
    expect(await ffmpeg.extractions()).toBe(3);
  });

  it("leaves nothing to serve when ffmpeg is killed in the middle, and says so", async () => {
    const ffmpeg = await wrapped(
      '"$FFMPEG" "$@" & p=$!; until [ -s frames.mjpeg ]; do kill -0 $p || break; done; kill -9 $p; exit 137',
    );
    const cacheDir = freshCache();
    const media = createMedia({ ffmpegPath: ffmpeg.path, cacheDir });
    await expect(media.extract(clip, facts, 0, 479, "full")).rejects.toMatchObject({
      fault: { code: "frames-not-exact" },
    });
    expect(await contents(cacheDir)).toEqual({ packs: [], halfMade: [] });
  });

  it("leaves nothing to serve when pictures are missing though ffmpeg reports success", async () => {
    const ffmpeg = await wrapped('"$FFMPEG" "$@"; printf "" > frames.mjpeg; exit 0');
    const cacheDir = freshCache();
    const media = createMedia({ ffmpegPath: ffmpeg.path, cacheDir });
    await expect(media.frame(clip, facts, 5, "full")).rejects.toMatchObject({
      fault: { code: "frames-not-exact" },
    });
    expect(await contents(cacheDir)).toEqual({ packs: [], halfMade: [] });
  });
});

describe("cancelling", () => {
  it("ends an extraction at once, leaves nothing half made, and the frames can be had afterwards", async () => {
    const cacheDir = freshCache();
    const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
    const controller = new AbortController();
    const running = media.extract(clip, facts, 0, 479, "full", { signal: controller.signal });
    const failed = expect(running).rejects.toMatchObject({ fault: { code: "cancelled" } });
    await untilMaking(cacheDir);
    controller.abort();
    await failed;
    await untilQuiet(cacheDir);
    expect(await contents(cacheDir)).toEqual({ packs: [], halfMade: [] });
    expect(await numberOf(await media.frame(clip, facts, 300, "full"))).toBe(300);
  });

  it("by one of two who wait leaves the other its frames", async () => {
    const cacheDir = freshCache();
    const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
    const controller = new AbortController();
    const first = media.extract(clip, facts, 0, 59, "full", { signal: controller.signal });
    const second = media.extract(clip, facts, 0, 59, "full");
    const failed = expect(first).rejects.toMatchObject({ fault: { code: "cancelled" } });
    await untilMaking(cacheDir);
    controller.abort();
    await failed;
    await second;
    expect(await numberOf(await media.frame(clip, facts, 59, "full"))).toBe(59);
  });

  async function untilMaking(cacheDir: string) {
    while ((await contents(cacheDir)).halfMade.length === 0) await pause(5);
  }
  async function untilQuiet(cacheDir: string) {
    while ((await contents(cacheDir)).halfMade.length > 0) await pause(20);
  }
});

describe("a cache that was harmed from outside", () => {
  async function packFile(cacheDir: string, file: string): Promise<string> {
    const key = await clipKey(cacheDir);
    const [pack] = await readdir(join(cacheDir, key as string));
    return join(cacheDir, key as string, pack as string, file);
  }
  const harms: readonly (readonly [string, (cacheDir: string) => Promise<void>])[] = [
    ["a shortened pack", async (dir) => truncate(await packFile(dir, "frames.mjpeg"), 4000)],
    [
      "zeroes in a pack, as a crash leaves them",
      async (dir) => {
        const path = await packFile(dir, "frames.mjpeg");
        await writeFile(path, new Uint8Array((await stat(path)).size));
      },
    ],
    ["a broken index", async (dir) => writeFile(await packFile(dir, "index.json"), '{"bytes":[1')],
    ["a deleted cache folder", async (dir) => rm(dir, { recursive: true })],
  ];
  it.each(harms)("%s: the frame is made again, in the same and in a new run", async (_what, harm) => {
    for (const again of [false, true]) {
      const cacheDir = freshCache();
      const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
      await media.extract(clip, facts, 40, 49, "full");
      await harm(cacheDir);
      const reader = again ? createMedia({ ffmpegPath: ffmpegPath(), cacheDir }) : media;
      expect(await numberOf(await reader.frame(clip, facts, 45, "full"))).toBe(45);
    }
  });
});

describe("the size limit", () => {
  it("drops the longest unused pack, not the oldest made and not the new one", async () => {
    const cacheDir = freshCache();
    let nowMs = Date.now() - 3600_000;
    const size = { one: 0 };
    const make = (cacheLimitBytes: number) =>
      createMedia({ ffmpegPath: ffmpegPath(), cacheDir, cacheLimitBytes, now: () => nowMs });
    const first = make(1e9);
    await first.extract(clip, facts, 0, 9, "full");
    await first.extract(clip, facts, 100, 109, "full");
    const key = await clipKey(cacheDir);
    size.one = (await stat(join(cacheDir, key as string, "full-0-10", "frames.mjpeg"))).size;
    // A new run, two minutes on, uses the older pack; then a third pack is one too many.
    nowMs = Date.now() + 120_000;
    const second = make(size.one * 2.6);
    await second.frame(clip, facts, 3, "full");
    await second.extract(clip, facts, 200, 209, "full");
    expect((await contents(cacheDir)).packs).toEqual(["full-0-10", "full-200-10"]);
    expect(await numberOf(await second.frame(clip, facts, 105, "full"))).toBe(105);
  });

  it("refuses a range that cannot stay in the cache instead of working for ever", async () => {
    const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir: freshCache(), cacheLimitBytes: 1000 });
    await media.extract(clip, facts, 0, 4, "half");
    await expect(media.extract(clip, facts, 0, 599, "half")).rejects.toMatchObject({
      fault: { code: "cache-too-small" },
    });
  });
});

it("knows a clip by what it is: the same bytes under another path need no second extraction", async () => {
  const cacheDir = freshCache();
  const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
  await media.extract(clip, facts, 0, 9, "full");
  const elsewhere = await mkdtemp(join(folder, "moved-"));
  await writeFile(join(elsewhere, "long.mp4"), await readFile(clip));
  const before = await contents(cacheDir);
  await media.frame(join(elsewhere, "long.mp4"), facts, 4, "full");
  expect(await contents(cacheDir)).toEqual(before);
  expect([WIDTH, HEIGHT]).not.toEqual([facts.width, facts.height]);
});

describe("a clip that takes long to read", () => {
  /**
   * A clip that plays as the other does, with bytes behind it that no player looks at: longer than is
   * read before the first frame.
   */
  async function longClip(path: string, filling: number): Promise<ClipFacts> {
    const free = Buffer.alloc(20e6, filling);
    free.writeUInt32BE(free.length, 0);
    free.write("free", 4, "latin1");
    await writeFile(path, Buffer.concat([await readFile(clip), free]));
    return createMedia({ ffmpegPath: ffmpegPath(), cacheDir: join(folder, "none") }).inspect(path);
  }

  it("is shown before it was read, and its frames are found under its content after that, from any path", async () => {
    const cacheDir = freshCache();
    const path = join(folder, "filled.mp4");
    const filled = await longClip(path, 7);
    const readings = heldFingerprints(cacheDir);
    const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir, fingerprints: readings.fingerprints });
    expect(await numberOf(await media.frame(path, filled, 45, "full"))).toBe(45);
    const before = await clipKey(cacheDir);
    readings.release();
    while ((await clipKeys(cacheDir)).includes(before)) await pause(10);
    expect((await contents(cacheDir)).packs).toEqual(["full-44-6"]);
    const elsewhere = join(folder, "carried.mp4");
    await copyFile(path, elsewhere);
    const later = createMedia({ ffmpegPath: join(folder, "no-ffmpeg"), cacheDir });
    await createClipFingerprints(cacheDir).of({ path: elsewhere, ...(await sizeAndTime(elsewhere)) });
    expect(await numberOf(await later.frame(elsewhere, { ...filled }, 46, "full"))).toBe(46);
  });

  it("does not lend its frames to a copy that differs in one byte of the middle", async () => {
    const cacheDir = freshCache();
    const path = join(folder, "middle.mp4");
    const filled = await longClip(path, 8);
    const media = createMedia({ ffmpegPath: ffmpegPath(), cacheDir });
    await media.frame(path, filled, 45, "full");
    await createClipFingerprints(cacheDir).of({ path, ...(await sizeAndTime(path)) });
    while ((await contents(cacheDir)).packs.length !== 1) await pause(10);
    const data = await readFile(path);
    data[data.length - 10_000_000] = 9;
    await writeFile(path, data);
    await media.frame(path, filled, 45, "full");
    // While frames move from one key to the other they may be seen under neither; those of the first
    // content alone would stay one.
    while ((await contents(cacheDir)).packs.length !== 2) await pause(10);
  });

  async function clipKeys(cacheDir: string): Promise<readonly string[]> {
    return (await readdir(cacheDir)).filter((name) => /^[0-9a-f]{32}$/.test(name));
  }
  async function sizeAndTime(path: string) {
    const { size, mtimeMs } = await stat(path);
    return { bytes: size, modifiedMs: mtimeMs };
  }
  /** Fingerprints that are read only when released. */
  function heldFingerprints(cacheDir: string) {
    const real = createClipFingerprints(cacheDir);
    let release = () => {};
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    const fingerprints: ClipFingerprints = {
      known: real.known,
      of: async (file, options) => {
        await held;
        return real.of(file, options);
      },
    };
    return { fingerprints, release: () => release() };
  }
});
