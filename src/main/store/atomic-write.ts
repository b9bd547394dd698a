import { randomBytes } from "node:crypto";
import { open, rename, rm } from "node:fs/promises";
import { basename, dirname, join } from "node:path";

/**
 * Writes a whole file or nothing: into a new hidden file beside it, flushed to the disk, then renamed over the
 * target. A link at the target is replaced, never followed. On failure the target is untouched and nothing is left.
 */
export async function writeAtomically(path: string, content: string | Uint8Array): Promise<void> {
  const directory = dirname(path);
  const temporary = join(directory, `.${basename(path)}.${randomBytes(6).toString("hex")}.tmp`);
  try {
    const file = await open(temporary, "wx");
    try {
      await file.writeFile(content);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
  await syncDirectory(directory);
}

/** Makes the rename itself last through a power cut. Not every system lets a directory be flushed; the file is whole either way. */
async function syncDirectory(directory: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(directory, "r");
  try {
    await handle.sync();
  } catch (error) {
    // Network and FUSE file systems answer EINVAL or ENOTSUP here.
    if (!["EINVAL", "ENOTSUP", "EPERM"].includes((error as NodeJS.ErrnoException).code ?? "")) throw error;
  } finally {
    await handle.close();
  }
}
