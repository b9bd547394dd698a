import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import type { TestProject } from "vitest/node";
import { findChromium, findFfmpeg } from "../../tools/find-program.mjs";
import { sharedExample } from "../support/shared-example.ts";

declare module "vitest" {
  interface ProvidedContext {
    /** Where the browser of this run listens. */
    browserAt: string;
    /** A folder with the example launch: copy it, never write into it. */
    exampleFolder: string;
    /**
     * The frames taken out of the example's clip, for every copy of it: they lie under what the clip holds.
     */
    frameCache: string;
  }
}

/**
 * Before the browser tests: one Chromium, one example and one cache of its frames for all files. Each test
 * still has a browser context and a field folder of its own.
 * @throws Error when there is no Chromium or no ffmpeg: a browser test without a browser fails
 */
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const chromiumFound = findChromium();
  if (chromiumFound === null)
    throw new Error("No Chromium was found; set LOFTMARK_CHROMIUM or install chromium.");
  const ffmpeg = findFfmpeg();
  if (ffmpeg === null) throw new Error("No ffmpeg was found; set LOFTMARK_FFMPEG or install ffmpeg.");
  const root = await mkdtemp(join(tmpdir(), "loftmark-browser-"));
  const server = await chromium.launchServer({
    executablePath: chromiumFound.path,
    chromiumSandbox: process.getuid?.() !== 0, // Chromium refuses its sandbox to root
    args: ["--disable-dev-shm-usage", "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"],
  });
  project.provide("browserAt", server.wsEndpoint());
  project.provide("exampleFolder", await sharedExample(ffmpeg.path));
  project.provide("frameCache", join(root, "cache"));
  return async () => {
    await server.close();
    await rm(root, { recursive: true, force: true });
  };
}
