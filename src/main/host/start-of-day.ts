import { existsSync } from "node:fs";
import { mkdir, readFile } from "node:fs/promises";
import { homedir } from "node:os";
import { join } from "node:path";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { writeExample } from "../example/write-example.ts";
import type { Progress } from "../media/media.ts";
import { ffmpegMissing } from "../media/media-faults.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import { SESSION_FILE } from "../store/session-file.ts";
import { sweepLeftovers } from "../store/sweep-leftovers.ts";
import { userCacheDir, userDataDir } from "../store/user-dirs.ts";

/** Where this person's derived files and own files belong on this machine. */
export function personDirs(): { readonly cacheDir: string; readonly dataDir: string } {
  const place = { env: process.env, platform: process.platform, home: homedir() };
  return { cacheDir: userCacheDir(place), dataDir: userDataDir(place) };
}

/** Path of the ffmpeg to use. @throws FaultError "ffmpeg-missing" */
export function requireFfmpeg(): string {
  const found = findFfmpeg();
  if (found === null) throw ffmpegMissing(process.env.LOFTMARK_FFMPEG ?? null);
  return found.path;
}

/**
 * The example launch in the person's data directory, made on first use.
 * @returns its folder
 * @throws FaultError
 */
export async function exampleFolder(
  dataDir: string,
  ffmpegPath: string,
  onProgress?: (progress: Progress) => void,
): Promise<string> {
  const folder = join(dataDir, "Example launch");
  if (existsSync(join(folder, SESSION_FILE))) return folder;
  await writeExample(folder, { ffmpegPath, ...(onProgress && { onProgress }) });
  return folder;
}

/** The folder that was open last, or null when there is none or it is gone. */
export async function recentFolder(dataDir: string): Promise<string | null> {
  try {
    const { folder } = JSON.parse(await readFile(join(dataDir, "recent.json"), "utf8")) as {
      folder?: unknown;
    };
    return typeof folder === "string" && existsSync(folder) ? folder : null;
  } catch {
    return null; // Not there yet, or not readable: only a convenience.
  }
}

export async function rememberFolder(dataDir: string, folder: string): Promise<void> {
  await mkdir(dataDir, { recursive: true });
  await sweepLeftovers(dataDir);
  await writeAtomically(join(dataDir, "recent.json"), `${JSON.stringify({ folder })}\n`);
}
