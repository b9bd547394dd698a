import { mkdir, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { adler32 } from "../../../src/main/media/adler32.ts";
import { createFrameStore, PACK_FILE } from "../../../src/main/media/frame-store.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

it("lets programs that make the same frames at the same time all have them, and leaves one pack", async () => {
  const cacheDir = join(await temporaryFolder(), "cache");
  await mkdir(cacheDir);
  const jpeg = new Uint8Array([0xff, 0xd8, 1, 2, 3, 0xff, 0xd9]);
  const index = { bytes: [jpeg.length], checksums: [adler32(jpeg)] };
  const stores = Array.from({ length: 12 }, () => createFrameStore(cacheDir, 1e9, Date.now));
  const made = await Promise.all(
    stores.map(async (store) => {
      const folder = await store.makeFolder();
      await writeFile(join(folder, PACK_FILE), jpeg);
      return folder;
    }),
  );
  await Promise.all(stores.map((store, i) => store.publish(made[i]!, "clip", "full", 7, index)));
  for (const store of stores) expect(await store.read("clip", "full", 7)).toEqual(jpeg);
  expect(await readdir(join(cacheDir, "clip"))).toEqual(["full-7-1"]);
  expect((await readdir(cacheDir)).filter((name) => name.startsWith("making-"))).toEqual([]);
});
