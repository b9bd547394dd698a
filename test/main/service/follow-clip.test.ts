import { copyFile, mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import type { TargetId } from "../../../src/main/example/example-scene.ts";
import { EXAMPLE_CLIP } from "../../../src/main/example/example-session.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { createService, type Service } from "../../../src/main/service/create-service.ts";
import { type Client, createClient } from "../../../src/shared/api/client.ts";
import type { JobReply } from "../../../src/shared/api/job-contract.ts";
import type { Followed } from "../../../src/shared/follow/followed.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { faultOf } from "../../support/fault-of.ts";
import { sharedExample } from "../../support/shared-example.ts";

/*
 * The follower on the drawn, compressed clip of the example, whose true positions are known. A short stretch
 * about release, where the target is fastest and most blurred; the whole clip is in the bench.
 */
let home: string;
let service: Service;
let client: Client;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark-follow-"));
  const [folder, cacheDir] = [join(home, "field"), join(home, "cache")];
  await mkdir(folder);
  const ffmpegPath = findFfmpeg()!.path;
  const counted = join(home, "counted");
  const script = `#!/bin/sh\ncase "$*" in *rawvideo*) echo "$*" >>'${home}/log';; esac\nexec '${ffmpegPath}' "$@"\n`;
  await writeFile(counted, script, { mode: 0o755 });
  await copyFile(join(await sharedExample(ffmpegPath), EXAMPLE_CLIP), join(folder, EXAMPLE_CLIP));
  service = createService({ folder, cacheDir, media: createMedia({ ffmpegPath: counted, cacheDir }) });
  client = createClient((path, init) => service.fetch(new Request(`http://any${path}`, init)));
});
afterAll(async () => {
  await service?.close();
  await rm(home, { recursive: true, force: true });
});

/** How many frames were asked to be decoded to follow through. */
async function decoded(): Promise<number> {
  const log = await readFile(join(home, "log"), "utf8").catch(() => "");
  return [...log.matchAll(/-frames:v (\d+)/g)].reduce((sum, [, count]) => sum + Number(count), 0);
}
const pause = () => new Promise((resolve) => setTimeout(resolve, 5));
const seedOf = (id: TargetId, frame: number) => ({
  frame,
  at: [...examplePixel(id, frame)] as [number, number],
  u: 0.4,
});
const way = (id: TargetId, from: number, to: number) => ({
  point: id,
  seed: seedOf(id, from),
  hands: [],
  to,
  exposureShare: 0.24,
});
const order = (id: TargetId, from: number, to: number) => ({
  kind: "follow" as const,
  clip: EXAMPLE_CLIP,
  ways: [way(id, from, to)],
});

/** Root mean square of the marks' errors in px, and of the same in their own u. */
function errors(id: TargetId, followed: Followed) {
  const marks = followed.runs.flatMap((run) => run.marks);
  let [px, chi] = [0, 0];
  for (const { frame, at, u } of marks) {
    const [x, y] = examplePixel(id, frame);
    const square = ((at[0] - x) ** 2 + (at[1] - y) ** 2) / 2;
    px += square / marks.length;
    chi += square / u ** 2 / marks.length;
  }
  return { count: marks.length, px: Math.sqrt(px), chi: Math.sqrt(chi) };
}

describe("the job follow on the example's compressed clip", () => {
  it("follows several points both ways, each as it is followed alone, and decodes each frame once", async () => {
    const ways = [way("nose", 120, 130), way("tail", 125, 134), way("nose", 120, 112), way("tail", 125, 118)];
    const reached: (readonly number[])[] = [];
    const together = await client.runJob(
      { kind: "follow", clip: EXAMPLE_CLIP, ways },
      { pause, onProgress: (reply) => reached.push(reply.reached ?? []) },
    );
    const frames = 134 - 112 + 1;
    expect(await decoded()).toBe(frames);
    for (const [i, one] of ways.entries()) {
      const alone = await client.runJob({ kind: "follow", clip: EXAMPLE_CLIP, ways: [one] }, { pause });
      expect(together.followed![i]).toEqual(alone.followed![0]);
      expect(together.followed![i]!.runs[0]!.marks).toHaveLength(Math.abs(one.to - one.seed.frame));
    }
    expect(await decoded()).toBe(frames); // they were kept
    expect(reached.at(-1)).toEqual([130, 134, 112, 118]);
  });

  it.each(["nose", "tail"] as const)(
    "follows the %s through release to a twentieth of a pixel, about 1 u",
    async (id) => {
      const told: JobReply[] = [];
      const job = await client.runJob(order(id, 100, 140), {
        pause,
        onProgress: (reply) => told.push(reply),
      });
      const [followed] = job.followed!;
      expect([job.state, followed!.end]).toEqual(["done", null]);
      const { count, px, chi } = errors(id, followed!);
      expect(count).toBe(40);
      // The seed is the true place, and its template's own coding error is common to
      // all marks: 0.04 px at most.
      expect(px).toBeLessThan(0.06);
      expect(chi).toBeGreaterThan(0.5);
      expect(chi).toBeLessThan(1.5);
      const fractions = told.map(({ fraction }) => fraction);
      expect(fractions).toEqual([...fractions].sort((a, b) => a - b));
      expect(fractions.at(-1)).toBe(1);
    },
  );

  it("follows backwards from free flight into the push", async () => {
    const job = await client.runJob(order("nose", 150, 120), { pause });
    const [followed] = job.followed!;
    expect(followed!.runs[0]!.marks.map(({ frame }) => frame)).toEqual(
      Array.from({ length: 30 }, (_, i) => 149 - i),
    );
    expect(errors("nose", followed!).px).toBeLessThan(0.08);
  });

  it("keeps what it has when it is stopped, and says so", async () => {
    const stop = { aborted: false };
    const job = await client.runJob(order("nose", 4, 177), {
      pause,
      onProgress: ({ reached: [at] = [4] }) => {
        if (at! > 20) stop.aborted = true;
      },
      signal: stop,
    });
    const [followed] = job.followed!;
    const frames = followed!.runs[0]!.marks.map(({ frame }) => frame);
    expect(job.state).toBe("done");
    expect(frames.length).toBeGreaterThan(16);
    expect(frames).toEqual(Array.from({ length: frames.length }, (_, i) => 5 + i));
    expect(followed!.end).toEqual({ why: "stopped", frame: frames.at(-1), number: 0 });
    expect(errors("nose", followed!).px).toBeLessThan(0.06);
  });

  it("refuses a frame the clip does not have, and a clip the folder does not have", async () => {
    const beyond = await faultOf(client.runJob(order("nose", 100, 178), { pause }));
    expect(beyond.code).toBe("no-such-frame");
    const nowhere = await faultOf(client.startJob({ ...order("nose", 100, 110), clip: "other.mp4" }));
    expect(nowhere.code).toBe("no-such-clip");
  });
});
