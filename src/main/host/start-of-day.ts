import { existsSync } from "node:fs";
import { homedir } from "node:os";
import { join } from "node:path";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { writeExample } from "../example/write-example.ts";
import type { Progress } from "../media/media.ts";
import { ffmpegMissing } from "../media/media-faults.ts";
import type { RecentFolders } from "../store/recent-folders.ts";
import { SESSION_FILE } from "../store/session-file.ts";
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

/** The folder that was opened last, or null when there is none or it is gone. */
export async function folderOfLastTime(recent: RecentFolders): Promise<string | null> {
  const [last] = await recent.list();
  return last !== undefined && existsSync(last.folder) ? last.folder : null;
}
