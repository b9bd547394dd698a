import { spawn } from "node:child_process";
import {
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  realpath,
  rm,
  symlink,
  utimes,
  writeFile,
} from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { build } from "vite";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { clearLeftovers } from "../../../src/main/media/leftovers.ts";
import { folderNameOf, isRunning, makerOf, startOf, THIS_MAKER } from "../../../src/main/media/maker.ts";
import { endRunning, noteRunning } from "../../../src/main/media/running-program.ts";
import { H264, makeClip } from "../../clips/make-clips.ts";
import { ffmpegPath } from "../../clips/program.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const NOW = Date.UTC(2026, 3, 1);
const names = async (folder: string) => (await readdir(folder)).sort();
const saysStarts = THIS_MAKER.start !== 0;

/** A process that has ended. */
async function endedPid(): Promise<number> {
  const child = spawn(process.execPath, ["-e", ""]);
  await new Promise((resolve) => child.on("exit", resolve));
  return child.pid as number;
}

describe("a maker", () => {
  it("is read back from the name of its folder", () => {
    expect(makerOf(folderNameOf({ pid: 12, start: 345 }, "a-b"))).toEqual({ pid: 12, start: 345 });
    expect(makerOf("making-77-5e0c8f0a-0000")).toEqual({ pid: 77, start: 0 });
    expect(makerOf("trash-1")).toBeNull();
  });

  it("runs while its process does, and another run under the same number is another maker", async () => {
    expect(isRunning(THIS_MAKER)).toBe(true);
    expect(isRunning({ pid: process.pid, start: THIS_MAKER.start + 1 })).toBe(false);
    expect(isRunning({ pid: await endedPid(), start: 0 })).toBe(false);
    expect(isRunning({ pid: await endedPid(), start: 99 })).toBe(false);
    expect(isRunning({ pid: process.ppid, start: startOf(process.ppid) ?? 0 })).toBe(true);
  });
});

describe("clearLeftovers", () => {
  it("takes what makers that are gone left, whatever its size or age, and leaves what is in use", async () => {
    const cache = await temporaryFolder();
    const key = "0123456789abcdef0123456789abcdef";
    const gone = folderNameOf({ pid: await endedPid(), start: 5 }, "x");
    const earlier = folderNameOf({ pid: process.pid, start: THIS_MAKER.start + 1 }, "x");
    const own = folderNameOf(THIS_MAKER, "x");
    for (const name of [gone, earlier, own, "trash-1", "cells-new", "cells-old", key, "empty"]) {
      await mkdir(join(cache, name));
    }
    await mkdir(join(cache, `f${key.slice(1)}`));
    for (const name of [gone, earlier, own, "cells-new", key]) await writeFile(join(cache, name, "a"), "a");
    const hours = (n: number) => new Date(NOW - n * 3600_000);
    await utimes(join(cache, own), hours(1), hours(1));
    await utimes(join(cache, "cells-new"), hours(1), hours(1));
    await utimes(join(cache, "cells-old"), hours(30), hours(30));
    await clearLeftovers(cache, NOW);
    expect(await names(cache)).toEqual([own, key, "cells-new", "empty"].sort());
  });

  it("does nothing without a cache folder", async () => {
    await clearLeftovers(join(await temporaryFolder(), "none"), NOW);
  });
});

describe.skipIf(!saysStarts)("a program noted in a folder (where the system says when one started)", () => {
  const sleeper = async (cwd: string) => {
    const child = spawn(process.execPath, ["-e", "setInterval(() => {}, 1000)"], { cwd });
    await new Promise((resolve) => child.on("spawn", resolve));
    return { pid: child.pid as number, ended: new Promise((resolve) => child.on("exit", resolve)), child };
  };

  it("is ended when it still works there", async () => {
    const folder = await temporaryFolder();
    const { pid, ended } = await sleeper(folder);
    noteRunning(folder, pid);
    await endRunning(folder);
    await ended;
    expect(isRunning({ pid, start: 1 })).toBe(false);
  });

  it("is left alone when it works elsewhere, or is another one under that number", async () => {
    const [folder, other] = [await temporaryFolder(), await temporaryFolder()];
    const { pid, ended, child } = await sleeper(other);
    const forget = noteRunning(folder, pid);
    await endRunning(folder);
    await writeFile(join(other, "running.json"), JSON.stringify({ pid, start: 1 }));
    await endRunning(other);
    expect(child.exitCode).toBeNull();
    expect(isRunning({ pid, start: startOf(pid) ?? 0 })).toBe(true);
    forget();
    expect(await names(folder)).toEqual([]);
    child.kill("SIGKILL");
    await ended;
  });
});

describe.skipIf(!saysStarts)("a process killed while it makes frames", () => {
  let home: string; // for all of them
  let clip: string;
  let program: string;
  afterAll(() => rm(home, { recursive: true, force: true, maxRetries: 5 }));
  beforeAll(async () => {
    home = await realpath(await mkdtemp(join(tmpdir(), "loftmark leftovers ")));
    program = await bundled(join(home, "program"));
    clip = await makeClip(join(home, "long.mp4"), [...H264, "-vf", "scale=1280:768:flags=neighbor"], 900);
  });

  it("leaves nothing that the next start does not clear: no folder, no program at work", async () => {
    const cache = join(await temporaryFolder(), "cache");
    const child = spawn(process.execPath, [program, ffmpegPath(), clip, cache]);
    const ended = new Promise((resolve) => child.on("exit", resolve));
    const at = await untilRunning(cache, 2);
    child.kill("SIGKILL");
    await ended;
    createMedia({ ffmpegPath: ffmpegPath(), cacheDir: cache });
    while ((await names(cache)).some((name) => /^(making|cells|trash)-/.test(name))) await pause(20);
    // Whoever is ended by a signal stands in the list of processes until the system has taken notice.
    for (const one of at) while (isRunning(one)) await pause(20);
  });

  it("has its programs end by themselves when nobody starts it again", async () => {
    const cache = join(await temporaryFolder(), "cache");
    const child = spawn(process.execPath, [program, ffmpegPath(), clip, cache]);
    const ended = new Promise((resolve) => child.on("exit", resolve));
    const at = await untilRunning(cache, 2);
    child.kill("SIGKILL");
    await ended;
    for (const one of at) while (isRunning(one)) await pause(20);
    // They were ended by the broken pipe, long before their work was done: 900 pictures lie nowhere.
    for (const made of await names(cache)) {
      const list = await readFile(join(cache, made, "frames.mjpeg")).catch(() => Buffer.alloc(0));
      expect(list.length).toBeLessThan(20e6);
    }
  });

  /** The programs at work in a cache, once there are so many. */
  async function untilRunning(cache: string, count: number) {
    for (;;) {
      const found = [];
      for (const name of await readdir(cache).catch(() => [])) {
        const text = await readFile(join(cache, name, "running.json"), "utf8").catch(() => null);
        if (text !== null && text !== "") found.push(JSON.parse(text) as { pid: number; start: number });
      }
      if (found.length >= count) return found;
      await pause(5);
    }
  }
});

/**
 * A program of this house in one file that Node runs by itself, as the product is built. @returns its path
 */
async function bundled(outDir: string): Promise<string> {
  const root = await realpath(join(import.meta.dirname, "..", "..", ".."));
  await mkdir(outDir, { recursive: true });
  await symlink(join(root, "node_modules"), join(outDir, "node_modules"), "dir");
  await build({
    root,
    configFile: false,
    logLevel: "warn",
    build: {
      ssr: true,
      target: "node20",
      outDir: join(outDir, "built"),
      rolldownOptions: {
        input: { program: join(root, "test", "support", "extract-for-ever.ts") },
        output: { entryFileNames: "[name].mjs" },
      },
    },
  });
  return join(outDir, "built", "program.mjs");
}
