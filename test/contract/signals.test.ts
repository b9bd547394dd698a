import { type ChildProcess, spawn } from "node:child_process";
import { copyFile, mkdir, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { sessionText } from "../../src/main/store/session-text.ts";
import { findFfmpeg } from "../../tools/find-program.mjs";
import { manyShots } from "../support/many-shots.ts";
import { sharedExample } from "../support/shared-example.ts";
import { snapshotOf, temporaryFolder } from "../support/temporary-folder.ts";

/*
 * The built program, stopped by a signal in the middle of work that would go on for much longer. That it ends
 * at all, and what it leaves, is judged here; how soon, in the bench.
 */
const PROGRAM = join(import.meta.dirname, "../../out/main/cli.js");
const SHOTS = 40;
const running: ChildProcess[] = [];

afterEach(() => {
  for (const child of running.splice(0)) child.kill("SIGKILL");
});

/** A field folder whose shots take long, and the program at work on it. */
async function bench(args: (folder: string) => readonly string[]) {
  const home = await temporaryFolder();
  const [folder, cache] = [join(home, "field"), join(home, "cache")];
  await mkdir(folder);
  await copyFile(join(await sharedExample(findFfmpeg()!.path), EXAMPLE_CLIP), join(folder, EXAMPLE_CLIP));
  await writeFile(join(folder, "loftmark.json"), sessionText(manyShots(SHOTS)));
  const before = await snapshotOf(folder);
  const child = spawn(process.execPath, [PROGRAM, ...args(folder)], {
    env: { ...process.env, LOFTMARK_CACHE: cache, LOFTMARK_DATA: join(home, "data") },
  });
  running.push(child);
  const heard = { out: "", err: "" };
  child.stdout.on("data", (chunk) => {
    heard.out += chunk;
  });
  child.stderr.on("data", (chunk) => {
    heard.err += chunk;
  });
  const status = new Promise<number | null>((resolve) => child.on("close", resolve));
  /** The clip is inspected, and its frames are being decoded where `decoding`: the long part has begun. */
  const busy = (decoding = false) =>
    expect
      .poll(
        async () => {
          const facts = await readdir(join(cache, "facts")).catch(() => []);
          const frames = (await readdir(cache).catch(() => [])).filter((name) => name.startsWith("making-"));
          return facts.some((name) => name.endsWith(".json")) && (!decoding || frames.length > 0);
        },
        { interval: 20 },
      )
      .toBe(true);
  return { child, heard, status, busy, folder, before };
}

it.each<[string, "SIGINT" | "SIGTERM", number, readonly string[]]>([
  ["measure", "SIGTERM", 143, ["--draw", "100000"]],
  ["measure", "SIGINT", 130, []],
  ["tune", "SIGTERM", 143, ["--save"]],
  ["next-shot", "SIGINT", 130, ["--speed", "14"]],
])(
  "%s is stopped by %s with status %i, says so, and has written nothing",
  async (verb, signal, code, options) => {
    const { child, heard, status, busy, folder, before } = await bench((path) => [verb, path, ...options]);
    await busy();
    expect(child.exitCode).toBeNull();
    child.kill(signal);
    expect(await status).toBe(code);
    expect(heard.out).toBe("");
    expect(heard.err).toContain("The work was stopped before it was done.");
    expect(await snapshotOf(folder)).toEqual(before);
  },
);

it("follow is stopped in the middle of its clip, ffmpeg with it, and saves no marks", async () => {
  const options = ["--shot", "shot-1", "--point", "nose", "--save"];
  const { child, heard, status, busy, folder, before } = await bench((path) => ["follow", path, ...options]);
  await busy(true);
  expect(child.exitCode).toBeNull();
  child.kill("SIGTERM");
  expect([await status, heard.out]).toEqual([143, ""]);
  expect(await snapshotOf(folder)).toEqual(before);
});

it("serve ends in the middle of a write-up, and has written none of it", async () => {
  const { child, heard, status, folder, before } = await bench((path) => ["serve", path, "--json"]);
  await expect.poll(() => heard.out).toContain("\n");
  const { url } = JSON.parse(heard.out) as { url: string };
  const { origin, searchParams } = new URL(url);
  const headers = {
    authorization: `Bearer ${searchParams.get("token")}`,
    "content-type": "application/json",
  };
  const ask = async (path: string, init: RequestInit = {}) =>
    (await fetch(`${origin}${path}`, { ...init, headers })).json() as Promise<{ id: string; doing: string }>;
  const api = `/api/folders/${(await ask("/host/info")).id}`;
  const { id } = await ask(`${api}/jobs`, { method: "POST", body: JSON.stringify({ kind: "write-up" }) });
  await expect
    .poll(async () => (await ask(`${api}/jobs/${id}`)).doing)
    .toMatch(/^Shot \d+ of 40: measuring$/);
  child.kill("SIGTERM");
  expect(await status).toBe(0); // that is how one ends it
  expect(await snapshotOf(folder)).toEqual(before);
});
