import { mkdir, rmdir } from "node:fs/promises";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { createRecentFolders } from "../../src/main/store/recent-folders.ts";
import { snapshotOf, temporaryFolder } from "../support/temporary-folder.ts";
import { webBench } from "../support/web-bench.ts";

/** A loopback host that keeps a list of folders opened before in a data folder of its own. */
async function bench() {
  const home = await temporaryFolder();
  const web = await webBench({ recent: createRecentFolders(join(home, "data")) });
  const { ask, bearer } = web;
  const headers = { ...bearer, "content-type": "application/json" };
  const post = (path: string, body: unknown, who: Record<string, string> = headers) =>
    ask(path, { method: "POST", body: JSON.stringify(body), headers: who });
  const recent = async () => {
    const { folders } = JSON.parse((await ask("/host/recent", { headers: bearer })).body) as {
      folders: { folder: string; name: string; openedAt: string; standing: string }[];
    };
    return folders;
  };
  return { ...web, home, post, recent };
}

it("remembers the folder of the start and each one opened later, with name, time and whether it is there", async () => {
  const { home, folder, post, recent } = await bench();
  const other = join(home, "other");
  await mkdir(other);
  expect((await post("/host/open", { path: other })).status).toBe(200);
  const folders = await recent();
  expect(folders.map(({ openedAt: _, ...one }) => one)).toEqual([
    { folder: other, name: "other", standing: "there" },
    { folder, name: basename(folder), standing: "there" },
  ]);
  for (const { openedAt } of folders) expect(new Date(openedAt).toISOString()).toBe(openedAt);
  await rmdir(other);
  expect((await recent()).map(({ standing }) => standing)).toEqual(["gone", "there"]);
  // One that cannot be opened is not remembered.
  expect((await post("/host/open", { path: join(home, "nowhere") })).status).toBe(404);
  expect(await recent()).toHaveLength(2);
});

it("forgets a folder when asked, open or not, and leaves its files and its service as they are", async () => {
  const { folder, post, recent, ask, api, bearer } = await bench();
  await recent(); // by now it is on the list
  const before = await snapshotOf(folder);
  expect((await post("/host/recent/forget", { folder })).body).toBe("{}");
  expect(await recent()).toEqual([]);
  expect(await snapshotOf(folder)).toEqual(before);
  expect((await ask(`${api}/clips`, { headers: bearer })).status).toBe(200);
});

it("tells the list to nobody without the key, and lets no other page forget", async () => {
  const { folder, post, recent, ask, own, cookie } = await bench();
  expect((await ask("/host/recent", { headers: own })).status).toBe(401);
  const type = { "content-type": "application/json" };
  expect((await post("/host/recent/forget", { folder }, { ...own, ...type })).status).toBe(401);
  expect((await post("/host/recent/forget", { folder }, { ...cookie, ...type })).status).toBe(403);
  const foreign = { ...cookie, ...type, origin: "http://evil.example" };
  expect((await post("/host/recent/forget", { folder }, foreign)).status).toBe(403);
  for (const odd of [{}, { folder: "" }, { folder: 5 }, { folder, more: 1 }]) {
    expect((await post("/host/recent/forget", odd)).status, JSON.stringify(odd)).toBe(400);
  }
  expect((await recent()).map((one) => one.folder)).toEqual([folder]);
});

it("has an empty list where none is kept", async () => {
  const { ask, bearer } = await webBench();
  expect(JSON.parse((await ask("/host/recent", { headers: bearer })).body)).toEqual({ folders: [] });
});
