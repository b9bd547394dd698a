import { cp, mkdtemp, rm, stat, utimes } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import type { TestProject } from "vitest/node";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import { createCameraLooks } from "../../src/main/service/camera-looks.ts";
import { createFactsCache } from "../../src/main/service/facts-cache.ts";
import { createKeptMeasurements } from "../../src/main/service/kept-measurements.ts";
import { measureShots } from "../../src/main/service/measure-shots.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { resultKey } from "../../src/shared/measure/result-key.ts";
import { filmedShot } from "../../src/shared/session/filmed-shot.ts";
import { launchInputs } from "../../src/shared/session/launch-inputs.ts";
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
     * The results of the example's own folder lie there too.
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
  const example = join(root, "example");
  await cp(await sharedExample(ffmpeg.path), example, { recursive: true });
  await wholeSeconds(join(example, EXAMPLE_CLIP));
  const cacheDir = join(root, "cache");
  await measureExample(example, ffmpeg.path, cacheDir);
  project.provide("exampleFolder", example);
  project.provide("frameCache", cacheDir);
  return async () => {
    await server.close();
    await rm(root, { recursive: true, force: true });
  };
}

/** Cuts a file's time of change, which a result rests on, to what every copy of the file can bear too. */
async function wholeSeconds(path: string): Promise<void> {
  const at = Math.floor((await stat(path)).mtimeMs / 1000);
  await utimes(path, at, at);
}

/**
 * Whether the example's camera moved, and what its shots give, found once: every page that opens a copy would
 * look and measure for itself.
 */
async function measureExample(example: string, ffmpegPath: string, cacheDir: string): Promise<void> {
  const media = createMedia({ ffmpegPath, cacheDir });
  const workers = processWorkers();
  const looks = createCameraLooks(media, workers, cacheDir);
  const folder = await openFieldFolder(example);
  const { session } = await (await createSessionFile(folder)).read();
  const { results, facts } = await measureShots(
    session,
    folder,
    createFactsCache(media, cacheDir, looks),
    workers,
    {
      log: (error) => {
        throw error;
      },
    },
  );
  const kept = createKeptMeasurements(cacheDir, folder.path, () => workers.edition());
  for (const [i, shot] of session.shots.entries()) {
    const known = facts.get(shot.clip ?? "") ?? null;
    const key = resultKey(filmedShot(session, shot), launchInputs(session, shot), known);
    await kept.keep({ shotId: shot.id, key, result: results[i]! });
  }
}
