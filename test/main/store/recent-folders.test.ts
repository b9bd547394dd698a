import { mkdir, readFile, symlink, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { createRecentFolders } from "../../../src/main/store/recent-folders.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

const at = (minute: number) => new Date(Date.UTC(2026, 4, 3, 10, minute));

/** A data folder that is not made yet, and field folders beside it. */
async function bench(count: number) {
  const home = await temporaryFolder();
  const dataDir = join(home, "data");
  const fields = Array.from({ length: count }, (_, i) => join(home, `outing ${i}`));
  for (const field of fields) await mkdir(field);
  const names = async () => (await recent.list()).map(({ folder }) => basename(folder));
  const recent = createRecentFolders(dataDir);
  return { home, dataDir, fields, recent, names, file: join(dataDir, "recent.json") };
}

it("lists the folder opened last first, each once with its last time, and no more than ten", async () => {
  const { recent, fields, names } = await bench(12);
  expect(await recent.list()).toEqual([]);
  for (const [i, field] of fields.entries()) await recent.remember(field, at(i));
  await recent.remember(fields[4]!, at(30));
  expect(await names()).toEqual([4, 11, 10, 9, 8, 7, 6, 5, 3, 2].map((i) => `outing ${i}`));
  expect((await recent.list())[0]).toEqual({ folder: fields[4], openedAt: "2026-05-03T10:30:00.000Z" });
});

it("has one entry for a folder reached by a link, with a slash behind it, or through another folder", async () => {
  const { recent, fields, home } = await bench(2);
  const [field, other] = fields as [string, string];
  await symlink(field, join(home, "link"));
  for (const path of [join(home, "link"), `${field}/`, `${other}/../${basename(field)}`]) {
    await recent.remember(path, at(1));
    expect(await recent.list(), path).toEqual([{ folder: field, openedAt: at(1).toISOString() }]);
  }
});

it("forgets one folder, gone or not, and touches neither it nor the others", async () => {
  const { recent, fields, dataDir, home, names } = await bench(2);
  await writeFile(join(fields[0]!, "a.mp4"), "clip");
  for (const field of [...fields, join(home, "never there")]) await recent.remember(field, at(1));
  await recent.forget(join(home, "never there"));
  expect(await names()).toEqual(["outing 1", "outing 0"]);
  await recent.forget(fields[0]!);
  await recent.forget(fields[0]!); // off the list already
  expect(await names()).toEqual(["outing 1"]);
  expect(await snapshotOf(fields[0]!)).toEqual({ "a.mp4": "clip" });
  expect(Object.keys(await snapshotOf(dataDir))).toEqual(["recent.json"]);
});

it("reads the form that named the last folder alone, and goes on from it", async () => {
  const { recent, fields, dataDir, file } = await bench(2);
  await mkdir(dataDir);
  await writeFile(file, `${JSON.stringify({ folder: fields[0] })}\n`);
  expect(await recent.list()).toEqual([{ folder: fields[0], openedAt: null }]);
  await recent.remember(fields[1]!, at(2));
  expect(await recent.list()).toEqual([
    { folder: fields[1], openedAt: at(2).toISOString() },
    { folder: fields[0], openedAt: null },
  ]);
});

it("takes a broken or odd file for an empty list, and writes a whole one in its place", async () => {
  const { recent, fields, dataDir, file, names } = await bench(1);
  await mkdir(dataDir);
  const odd = ["", "{", "null", "5", "[]", '{"folder": 5}', '{"folders": {}}', '{"folder": "not/absolute"}'];
  for (const text of odd) {
    await writeFile(file, text);
    expect(await recent.list(), text).toEqual([]);
    await recent.remember(fields[0]!, at(3));
    expect(await names(), text).toEqual(["outing 0"]);
  }
});

it("leaves out the entries that make no sense and those that come again, and keeps the others", async () => {
  const { recent, dataDir, file } = await bench(0);
  await mkdir(dataDir);
  const folders = [
    null,
    "/bare",
    { folder: 7 },
    { folder: "relative" },
    { folder: "/with\0nul" },
    { folder: "/a", openedAt: "some day" },
    { folder: "/b", openedAt: "2026-05-03T10:00:00.000Z", more: 1 },
    { folder: "/a", openedAt: "2026-05-03T10:00:00.000Z" },
  ];
  await writeFile(file, JSON.stringify({ folders }));
  expect(await recent.list()).toEqual([
    { folder: "/a", openedAt: null },
    { folder: "/b", openedAt: "2026-05-03T10:00:00.000Z" },
  ]);
});

it("keeps what two hosts remember at once", async () => {
  const { dataDir, fields, names, file } = await bench(8);
  const hosts = [createRecentFolders(dataDir), createRecentFolders(dataDir)];
  await Promise.all(fields.map((field, i) => hosts[i % 2]!.remember(field, at(i))));
  expect((await names()).sort()).toEqual(fields.map((field) => basename(field)));
  expect(JSON.parse(await readFile(file, "utf8")).folders).toHaveLength(8);
});

it("lets an opening go on where nothing can be written, and says it to whoever forgets", async () => {
  const { recent, fields, dataDir } = await bench(1);
  await writeFile(dataDir, "a file in the way");
  await recent.remember(fields[0]!, at(1));
  expect(await recent.list()).toEqual([]);
  const fault = await faultOf(recent.forget(fields[0]!));
  expect(fault.cause).toMatch(/^The list of folders opened before could not be saved: /);
  expect(fault.remedy).not.toBe("");
});
