import { mkdir, rmdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, describe, expect, it, vi } from "vitest";
import {
  exampleFolder,
  personDirs,
  recentFolder,
  rememberFolder,
  requireFfmpeg,
} from "../../../src/main/host/start-of-day.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

afterEach(() => {
  vi.unstubAllEnvs();
});

describe("recentFolder and rememberFolder", () => {
  it("give back the folder that was open last, as long as it is there", async () => {
    const home = await temporaryFolder();
    const data = join(home, "made when needed");
    expect(await recentFolder(data)).toBeNull();
    await mkdir(join(home, "one"));
    await mkdir(join(home, "two"));
    await rememberFolder(data, join(home, "one"));
    await rememberFolder(data, join(home, "two"));
    expect(await recentFolder(data)).toBe(join(home, "two"));
    await rmdir(join(home, "two"));
    expect(await recentFolder(data)).toBeNull();
  });

  it("take a broken list for none", async () => {
    const data = await temporaryFolder();
    for (const text of ["{", "null", '{"folder": 5}']) {
      await writeFile(join(data, "recent.json"), text);
      expect(await recentFolder(data), text).toBeNull();
    }
  });
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
