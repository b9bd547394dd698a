import { mkdir, rmdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, describe, expect, it, vi } from "vitest";
import {
  exampleFolder,
  folderOfLastTime,
  personDirs,
  requireFfmpeg,
} from "../../../src/main/host/start-of-day.ts";
import { createRecentFolders } from "../../../src/main/store/recent-folders.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

afterEach(() => {
  vi.unstubAllEnvs();
});

it("folderOfLastTime gives the folder opened last as long as it is there, and never the one before it", async () => {
  const home = await temporaryFolder();
  const recent = createRecentFolders(join(home, "data"));
  expect(await folderOfLastTime(recent)).toBeNull();
  for (const name of ["one", "two"]) {
    await mkdir(join(home, name));
    await recent.remember(join(home, name), new Date());
  }
  expect(await folderOfLastTime(recent)).toBe(join(home, "two"));
  await rmdir(join(home, "two"));
  expect(await folderOfLastTime(recent)).toBeNull();
});

describe("exampleFolder", () => {
  it("gives the example that is there without making another", async () => {
    const data = await temporaryFolder();
    await mkdir(join(data, "Example launch"));
    await writeFile(join(data, "Example launch", "loftmark.json"), "{}");
    const before = await snapshotOf(data);
    expect(await exampleFolder(data, join(data, "no-ffmpeg"))).toBe(join(data, "Example launch"));
    expect(await snapshotOf(data)).toEqual(before);
  });

  it("leaves nothing of an example that could not be made", async () => {
    const data = await temporaryFolder();
    expect((await faultOf(exampleFolder(data, join(data, "no-ffmpeg")))).remedy).not.toBe("");
    expect(await snapshotOf(data)).toEqual({});
  });
});

describe("requireFfmpeg and personDirs", () => {
  it("name the missing ffmpeg that was asked for, with what to do", async () => {
    vi.stubEnv("LOFTMARK_FFMPEG", "/nowhere/ffmpeg");
    const fault = await faultOf((async () => requireFfmpeg())());
    expect(fault).toMatchObject({
      code: "ffmpeg-missing",
      cause: expect.stringContaining("/nowhere/ffmpeg"),
    });
  });

  it("follow Loftmark's own variables", () => {
    vi.stubEnv("LOFTMARK_CACHE", "/a/cache");
    vi.stubEnv("LOFTMARK_DATA", "/a/data");
    expect(personDirs()).toEqual({ cacheDir: "/a/cache", dataDir: "/a/data" });
  });
});
