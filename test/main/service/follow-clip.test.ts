import { copyFile, mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import type { TargetId } from "../../../src/main/example/example-scene.ts";
import { EXAMPLE_CLIP } from "../../../src/main/example/example-session.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { createService, type Service } from "../../../src/main/service/create-service.ts";
import { type Client, createClient } from "../../../src/shared/api/client.ts";
import type { JobReply } from "../../../src/shared/api/contract.ts";
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
  await copyFile(join(await sharedExample(ffmpegPath), EXAMPLE_CLIP), join(folder, EXAMPLE_CLIP));
  service = createService({ folder, cacheDir, media: createMedia({ ffmpegPath, cacheDir }) });
  client = createClient((path, init) => service.fetch(new Request(`http://any${path}`, init)));
});
afterAll(async () => {
  await service?.close();
  await rm(home, { recursive: true, force: true });
});

const pause = () => new Promise((resolve) => setTimeout(resolve, 5));
const seedOf = (id: TargetId, frame: number) => ({
  frame,
  at: [...examplePixel(id, frame)] as [number, number],
  u: 0.4,
});
const order = (id: TargetId, from: number, to: number) => ({
  kind: "follow" as const,
  clip: EXAMPLE_CLIP,
  point: id,
  seed: seedOf(id, from),
  hands: [],
  to,
  exposureShare: 0.24,
});

/** Root mean square of the marks' errors in px, and of the same in their own u. */
function errors(id: TargetId, { followed }: JobReply) {
  const marks = followed!.runs.flatMap((run) => run.marks);
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
  it.each(["nose", "tail"] as const)(
    "follows the %s through release to a twentieth of a pixel, about 1 u",
    async (id) => {
      const told: JobReply[] = [];
      const job = await client.runJob(order(id, 100, 140), {
        pause,
        onProgress: (reply) => told.push(reply),
      });
      expect([job.state, job.followed!.end]).toEqual(["done", null]);
      const { count, px, chi } = errors(id, job);
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
    expect(job.followed!.runs[0]!.marks.map(({ frame }) => frame)).toEqual(
      Array.from({ length: 30 }, (_, i) => 149 - i),
    );
    expect(errors("nose", job).px).toBeLessThan(0.08);
  });

  it("is stopped, and leaves nothing running", async () => {
    const running = await client.startJob(order("nose", 4, 177));
    const cancelled = await client.cancelJob(running.id);
    expect([cancelled.state, cancelled.followed]).toEqual(["cancelled", null]);
    await pause();
    expect((await client.job(running.id)).state).toBe("cancelled");
  });

  it("refuses a frame the clip does not have, and a clip the folder does not have", async () => {
    const beyond = await faultOf(client.runJob(order("nose", 100, 178), { pause }));
    expect(beyond.code).toBe("no-such-frame");
    const nowhere = await faultOf(client.startJob({ ...order("nose", 100, 110), clip: "other.mp4" }));
    expect(nowhere.code).toBe("no-such-clip");
  });
});
