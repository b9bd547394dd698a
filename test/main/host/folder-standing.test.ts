import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { createFolderLook } from "../../../src/main/host/folder-standing.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

it("tells a folder that is there from one that is gone, and a file is no folder", async () => {
  const home = await temporaryFolder();
  await mkdir(join(home, "field"));
  await writeFile(join(home, "file"), "");
  const paths = ["field", "nowhere", "file", "file/below", "field"].map((name) => join(home, name));
  expect(await createFolderLook()(paths)).toEqual(["there", "gone", "gone", "gone", "there"]);
});

it("does not call a folder gone that it may not ask about", async () => {
  const isFolder = async () => {
    throw Object.assign(new Error("no right"), { code: "EACCES" });
  };
  const look = createFolderLook({ isFolder, patience: () => new Promise(() => {}) });
  expect(await look(["/locked"])).toEqual(["unknown"]);
});

it("gives up looks that hang, begins none while two of them do, and looks again once they have ended", async () => {
  const asked: string[] = [];
  const hanging: (() => void)[] = [];
  const look = createFolderLook({
    isFolder(path) {
      asked.push(path);
      if (!path.startsWith("/dead")) return Promise.resolve(true);
      return new Promise((resolve) => hanging.push(() => resolve(true)));
    },
    // A turn of the loop later: a folder that answers at once has answered by then.
    patience: () => new Promise((resolve) => setImmediate(resolve)),
  });
  expect(await look(["/a", "/dead/1", "/b", "/dead/2", "/c"])).toEqual([
    "there",
    "unknown",
    "there",
    "unknown",
    "unknown",
  ]);
  expect(asked).toEqual(["/a", "/dead/1", "/b", "/dead/2"]);
  expect(await look(["/a"])).toEqual(["unknown"]);
  for (const end of hanging) end();
  await new Promise((resolve) => setImmediate(resolve));
  expect(await look(["/a"])).toEqual(["there"]);
});
