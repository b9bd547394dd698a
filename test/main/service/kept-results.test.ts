import { readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { createKeptResults } from "../../../src/main/service/kept-results.ts";
import type { JobReply } from "../../../src/shared/api/job-contract.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

const DAY_MS = 24 * 3600_000;
const START_MS = Date.parse("2026-05-01T10:00:00.000Z");

const reply = (id: string, ms: number): JobReply => ({
  id,
  kind: "write-up",
  state: "done",
  doing: "Writing",
  fraction: 1,
  secondsLeft: 0,
  error: null,
  facts: null,
  differences: null,
  followed: null,
  tuned: null,
  drawn: null,
  files: ["write-up/report.html"],
  about: { kind: "write-up" },
  endedAt: new Date(START_MS + ms).toISOString(),
  heldElsewhere: false,
  taken: false,
});

it("keeps results from one host to the next, the oldest first, for their own folder only", async () => {
  const cache = await temporaryFolder();
  const first = createKeptResults(cache, "/field/a", () => START_MS);
  await first.keep(reply("two", 2000));
  await first.keep(reply("one", 1000));
  expect(await createKeptResults(cache, "/field/a", () => START_MS).list()).toEqual([
    reply("one", 1000),
    reply("two", 2000),
  ]);
  expect(await createKeptResults(cache, "/field/b", () => START_MS).list()).toEqual([]);
});

it("forgets what was taken", async () => {
  const cache = await temporaryFolder();
  const kept = createKeptResults(cache, "/field", () => START_MS);
  await kept.keep(reply("one", 0));
  expect(await kept.has("one")).toBe(true);
  await kept.remove("one");
  await kept.remove("one");
  expect([await kept.has("one"), await kept.list(), Object.keys(await snapshotOf(cache))]).toEqual([
    false,
    [],
    [],
  ]);
});

it("keeps the newest twenty of a folder, and none for longer than a month", async () => {
  const cache = await temporaryFolder();
  let now = START_MS;
  const kept = createKeptResults(cache, "/field", () => now);
  for (let i = 0; i < 23; i++) await kept.keep(reply(`job-${i}`, i));
  expect((await kept.list()).map(({ id }) => id)).toEqual(
    Array.from({ length: 20 }, (_, i) => `job-${i + 3}`),
  );
  now += 31 * DAY_MS;
  expect(await kept.list()).toEqual([]);
  expect(Object.keys(await snapshotOf(cache))).toEqual([]);
});

it("leaves out and removes what it cannot read: of another version, or damaged", async () => {
  const cache = await temporaryFolder();
  const kept = createKeptResults(cache, "/field", () => START_MS);
  await kept.keep(reply("one", 0));
  const [folder] = await readdir(join(cache, "results"));
  await writeFile(join(cache, "results", folder!, "half.json"), '{"id": "ha');
  await writeFile(join(cache, "results", folder!, "other.json"), '{"id": "other"}');
  expect((await kept.list()).map(({ id }) => id)).toEqual(["one"]);
  expect(await readdir(join(cache, "results", folder!))).toEqual(["one.json"]);
});
