import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import { findWorkerFile } from "../../../src/main/jobs/process-workers.ts";
import { createWorkers, type Workers } from "../../../src/main/jobs/workers.ts";
import { createService, type Service } from "../../../src/main/service/create-service.ts";
import { createClient, framePath } from "../../../src/shared/api/client.ts";
import { manyShots } from "../../support/many-shots.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

/*
 * What a service does while it measures many shots, by the order of events: how long
 * each takes is for the bench.
 */
const SHOTS = 6;
const JOBS = join(import.meta.dirname, "../../../src/main/jobs");
let service: Service | undefined;
afterEach(() => service?.close());

async function bench() {
  const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  await writeFile(join(folder, "a.mp4"), "clip of 400 frames");
  const threads = createWorkers({ file: findWorkerFile(JOBS), most: 1 });
  // Each shot is measured with so many draws that the first is never done, however slow
  // whatever goes on beside it.
  const workers: Workers = {
    ...threads,
    run(session, task, options) {
      const longer = task.kind === "measure" ? { ...task, draws: 1_000_000 } : task;
      return threads.run(session, longer as typeof task, options);
    },
  };
  const running = createService({ folder, cacheDir, media: paperMedia().media, workers });
  service = running;
  const ask = (path: string, init?: RequestInit) => running.fetch(new Request(`http://any${path}`, init));
  const client = createClient((path, init) => ask(path, init));
  const session = manyShots(SHOTS, "a.mp4");
  const { revision } = await client.saveSession({ session, baseRevision: "none" });
  const { id } = await client.startJob({ kind: "write-up" });
  const doing = async () => (await client.job(id)).doing;
  await expect.poll(doing).toBe("Shot 1 of 6: measuring");
  return { folder, cacheDir, ask, client, session, revision, id };
}

it("answers a save and a frame while shots are measured for a write-up", async () => {
  const { ask, client, session, revision, id } = await bench();
  const [saved, frame] = await Promise.all([
    client.saveSession({ session: { ...session, title: "typed meanwhile" }, baseRevision: revision }),
    ask(framePath("a.mp4", 7, "full")),
  ]);
  expect([saved.revision === revision, await frame.text()]).toEqual([false, "a.mp4 7 full"]);
  expect(await client.job(id)).toMatchObject({
    state: "running",
    doing: "Shot 1 of 6: measuring",
  });
});

it("writes nothing of a write-up that is stopped in the middle", async () => {
  const { folder, cacheDir, client, session, id } = await bench();
  expect(await client.cancelJob(id)).toMatchObject({ state: "cancelled", files: null });
  await service!.close();
  const files = await snapshotOf(folder);
  const ours = Object.keys(files).filter((name) => !name.startsWith("loftmark.history"));
  expect(ours.sort()).toEqual(["a.mp4", "loftmark.json"]);
  expect(JSON.parse(files["loftmark.json"]!).shots).toHaveLength(session.shots.length);
  expect(Object.keys(await snapshotOf(cacheDir)).filter((name) => name.startsWith("results"))).toEqual([]);
});
