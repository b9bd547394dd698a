import { expect, it } from "vitest";
import { createOpenFolders } from "../../../src/main/host/open-folders.ts";
import type { Service } from "../../../src/main/service/create-service.ts";
import { faultOf } from "../../support/fault-of.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

/** Services that note what they are asked, and answer a save only when told to. */
function bench() {
  const heard: string[] = [];
  const saves: (() => void)[] = [];
  const gone = new Set<string>(); // folders that were exchanged for others under their services
  const serve = (path: string): Service => ({
    isThere: async () => !gone.has(path),
    fetch(request) {
      heard.push(`${request.method} ${path}`);
      if (request.method === "GET") return Promise.resolve(new Response(path));
      return new Promise((resolve) => saves.push(() => resolve(new Response("saved"))));
    },
    async close() {
      heard.push(`close ${path}`);
    },
  });
  return { folders: createOpenFolders(serve), heard, saves, gone };
}

const get = () => new Request("http://any/api/session");
const put = () => new Request("http://any/api/session", { method: "PUT", body: "{}" });

it("answers each id by the service of its own folder, and lists the folder opened last first", async () => {
  const [a, b] = [await temporaryFolder(), await temporaryFolder()];
  const { folders } = bench();
  const [first, second] = [await folders.open(a), await folders.open(b)];
  expect(await (await folders.fetch(first.id, get())).text()).toBe(a);
  expect(await (await folders.fetch(second.id, get())).text()).toBe(b);
  expect(folders.all()).toEqual([second, first]);
  await folders.open(a);
  expect(folders.all()).toEqual([first, second]);
});

it("refuses an id from the moment its folder is closed, and closes only after the save that was under way", async () => {
  const a = await temporaryFolder();
  const { folders, heard, saves } = bench();
  const { id } = await folders.open(a);
  const save = folders.fetch(id, put());
  const closed = folders.close(id);
  expect((await faultOf(folders.fetch(id, put()))).code).toBe("folder-not-open");
  expect(() => folders.find(id)).toThrow("not open any more");
  expect(folders.all()).toEqual([]);
  expect(heard).toEqual([`PUT ${a}`]);
  saves[0]!();
  expect(await (await save).text()).toBe("saved");
  await closed;
  expect(heard).toEqual([`PUT ${a}`, `close ${a}`]);
  await folders.close(id); // closed already: nothing to do
});

it("opens a closed folder under another id, once the service before has let go of it", async () => {
  const a = await temporaryFolder();
  const { folders, heard, saves } = bench();
  const before = await folders.open(a);
  const save = folders.fetch(before.id, put());
  const closed = folders.close(before.id);
  const opening = folders.open(a);
  saves[0]!();
  const again = await opening;
  expect(heard).toEqual([`PUT ${a}`, `close ${a}`]);
  expect(again.id).not.toBe(before.id);
  await Promise.all([save, closed]);
  await folders.closeAll();
  expect(folders.all()).toEqual([]);
});

it("gives a folder that came in the place of an open one a service and an id of its own", async () => {
  const a = await temporaryFolder();
  const { folders, heard, gone } = bench();
  const before = await folders.open(a);
  gone.add(a);
  const after = await folders.open(a);
  expect(heard).toEqual([`close ${a}`]);
  expect(after.id).not.toBe(before.id);
  expect(folders.all()).toEqual([after]);
  expect((await faultOf(folders.fetch(before.id, get()))).code).toBe("folder-not-open");
});
