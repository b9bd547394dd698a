import { copyFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { processWorkers } from "../../../src/main/jobs/process-workers.ts";
import { createCameraLooks } from "../../../src/main/service/camera-looks.ts";
import { listClips } from "../../../src/main/store/folder-clips.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const STRETCH = { from: 0, to: 4 };

/** Looks at clips of a folder, each time as a program begun anew with the same cache. */
async function looking() {
  const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  const { media, calls } = paperMedia();
  const begun = () => createCameraLooks(media, processWorkers(), cacheDir);
  async function found(name: string) {
    const entry = (await listClips(folder)).find((one) => one.name === name)!;
    return { ...entry, path: join(folder, name) };
  }
  return {
    folder,
    decoded: () => calls.filter((call) => call.startsWith("grey")),
    async look(name: string, stretch = STRETCH) {
      const clip = await found(name);
      return begun().at(clip, await media.inspect(clip.path), stretch);
    },
    async kept(name: string) {
      return begun().kept(await found(name));
    },
  };
}

it("looks at a clip once, and at no copy of it, whatever that is called", async () => {
  const { folder, decoded, look } = await looking();
  await writeFile(join(folder, "a.mp4"), "clip of 5 frames");
  const seen = await look("a.mp4");
  await copyFile(join(folder, "a.mp4"), join(folder, "b.mp4"));
  expect(await look("a.mp4")).toEqual(seen);
  expect(await look("b.mp4")).toEqual(seen);
  expect(decoded()).toEqual(["grey a.mp4 0-4"]);
});

it("looks again at a clip that holds something else under the same name", async () => {
  const { folder, decoded, look } = await looking();
  await writeFile(join(folder, "a.mp4"), "clip of 5 frames");
  await look("a.mp4");
  await writeFile(join(folder, "a.mp4"), "clip of 6 frames");
  await look("a.mp4");
  expect(decoded()).toEqual(["grey a.mp4 0-4", "grey a.mp4 0-4"]);
});

it("knows what was seen before, of looks that lie over each other the last", async () => {
  const { folder, kept, look } = await looking();
  await writeFile(join(folder, "a.mp4"), "clip of 20 frames");
  expect(await kept("a.mp4")).toBeNull();
  await look("a.mp4", { from: 0, to: 3 });
  await look("a.mp4", { from: 8, to: 10 });
  await look("a.mp4", { from: 2, to: 5 });
  expect((await kept("a.mp4"))?.asked).toEqual([2, 3, 4, 5, 8, 9, 10]);
});
