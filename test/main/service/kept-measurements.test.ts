import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { createKeptMeasurements } from "../../../src/main/service/kept-measurements.ts";
import type { KeptMeasurement } from "../../../src/shared/api/contract.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

const one = (shotId: string, key: string): KeptMeasurement => ({
  shotId,
  key,
  result: { shotId, measurement: null, prediction: null, comparison: null, notices: [] },
});
const program = (edition: string | null) => async () => edition;

it("keeps one result a shot, the newest, for its own folder only", async () => {
  const cache = await temporaryFolder();
  const kept = createKeptMeasurements(cache, "/field/a", program("p1"));
  await kept.keep(one("shot-1", "k1"));
  await kept.keep(one("../shot 2", "k2"));
  await kept.keep(one("shot-1", "k3"));
  const again = createKeptMeasurements(cache, "/field/a", program("p1"));
  expect((await again.list()).map(({ shotId, key }) => `${shotId} ${key}`).sort()).toEqual([
    "../shot 2 k2",
    "shot-1 k3",
  ]);
  expect(await createKeptMeasurements(cache, "/field/b", program("p1")).list()).toEqual([]);
  expect(Object.keys(await snapshotOf(cache))).toHaveLength(2);
});

it("gives nothing that another program computed, or that is damaged, and removes it", async () => {
  const cache = await temporaryFolder();
  await createKeptMeasurements(cache, "/field", program("p1")).keep(one("shot-1", "k1"));
  expect(await createKeptMeasurements(cache, "/field", program("p2")).list()).toEqual([]);
  expect(Object.keys(await snapshotOf(cache))).toEqual([]);
  await createKeptMeasurements(cache, "/field", program("p1")).keep(one("shot-1", "k1"));
  const [file] = Object.keys(await snapshotOf(cache));
  await writeFile(join(cache, file!), "{");
  expect(await createKeptMeasurements(cache, "/field", program("p1")).list()).toEqual([]);
});

it("keeps nothing where it is not known which program computes", async () => {
  const cache = await temporaryFolder();
  const kept = createKeptMeasurements(cache, "/field", program(null));
  await kept.keep(one("shot-1", "k1"));
  expect([await kept.list(), Object.keys(await snapshotOf(cache))]).toEqual([[], []]);
});
