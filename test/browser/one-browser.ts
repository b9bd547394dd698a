import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import type { TestProject } from "vitest/node";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import { createCameraLooks } from "../../src/main/service/camera-looks.ts";
import { createFactsCache } from "../../src/main/service/facts-cache.ts";
import { inspectClips } from "../../src/main/service/measure-shots.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
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
  const example = await sharedExample(ffmpeg.path);
  const cacheDir = join(root, "cache");
  await lookAtCamera(example, ffmpeg.path, cacheDir);
  project.provide("exampleFolder", example);
  project.provide("frameCache", cacheDir);
  return async () => {
    await server.close();
    await rm(root, { recursive: true, force: true });
  };
}

/** Whether the example's camera moved, found once: every page that opens a copy would look for itself. */
async function lookAtCamera(example: string, ffmpegPath: string, cacheDir: string): Promise<void> {
  const media = createMedia({ ffmpegPath, cacheDir });
  const looks = createCameraLooks(media, processWorkers(), cacheDir);
  const folder = await openFieldFolder(example);
  const { session } = await (await createSessionFile(folder)).read();
  await inspectClips(session, folder, createFactsCache(media, cacheDir, looks));
}
