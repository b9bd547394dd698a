import { type FileHandle, lstat, open, rename, rm } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { temporaryName } from "./temporary-name.ts";

const OWNER_MAY_WRITE = 0o200; // Windows: Node takes it away where the read-only attribute is set
const PERMISSIONS = 0o777;

/** What a file that is replaced hands on to the one in its place. */
interface Keeps {
  readonly mode: number;
  readonly uid: number;
  readonly gid: number;
}

/** A file that lies whole on the disk beside the one it is to replace. */
export interface PreparedFile {
  /** Where it lies until then. */
  readonly path: string;
  /** Puts it in place. @throws FaultError "file-read-only" */
  commit(): Promise<void>;
  /** Removes it; to be called when it is not put in place. */
  discard(): Promise<void>;
}

/**
 * Writes a whole file or nothing: into a new hidden file beside it, flushed to the disk, then renamed over
 * the target. A link at the target is replaced, never followed. The new file has the mode of the one it
 * replaces, and its owner where the system lets it. On failure the target is untouched and nothing is left; a
 * process that is killed leaves a file that `sweepLeftovers` knows.
 * @param content the file, or its pieces in order; others have their turn between two of them
 * @throws FaultError "file-read-only" for a file that is marked read-only: its owner
 *   wants it to stay as it is
 */
export async function writeAtomically(
  path: string,
  content: string | Uint8Array | Iterable<Uint8Array>,
): Promise<void> {
  await (await prepareFile(path, content)).commit();
}

/** Does all of `writeAtomically` that takes time: what is left is one rename. @throws as writeAtomically */
export async function prepareFile(
  path: string,
  content: string | Uint8Array | Iterable<Uint8Array>,
): Promise<PreparedFile> {
  const keeps = await keptOf(path);
  const directory = dirname(path);
  const temporary = join(directory, temporaryName(basename(path)));
  // swept later; the first failure is the one to tell
  const discard = () => rm(temporary, { force: true }).catch(() => {});
  try {
    const file = await open(temporary, "wx", keeps?.mode);
    try {
      if (keeps !== null) await handOn(file, keeps);
      const pieces = typeof content === "string" || content instanceof Uint8Array ? [content] : content;
      for (const piece of pieces) await file.writeFile(piece); // each goes behind the one before
      await file.sync();
    } finally {
      await file.close();
    }
  } catch (error) {
    await discard();
    throw error;
  }
  return {
    path: temporary,
    discard,
    async commit() {
      try {
        await mustBeReplaceable(path);
        await rename(temporary, path);
      } catch (error) {
        await discard();
        throw error;
      }
      await syncDirectory(directory);
    },
  };
}

/** @returns null when there is no file of its own to replace @throws FaultError "file-read-only" */
async function keptOf(path: string): Promise<Keeps | null> {
  const stats = await lstat(path).catch((error: NodeJS.ErrnoException) => {
    if (error.code === "ENOENT") return null;
    throw error;
  });
  if (stats === null || !stats.isFile()) return null;
  if ((stats.mode & OWNER_MAY_WRITE) === 0) {
    throw new FaultError(
      "file-read-only",
      `The file ${basename(path)} is marked read-only, so it was left as it is.`,
      "Allow writing to it in its properties if Loftmark may change it, or copy the folder and open the copy.",
    );
  }
  return { mode: stats.mode & PERMISSIONS, uid: stats.uid, gid: stats.gid };
}

/** Says before any work whether a file is one to leave as it is. @throws FaultError "file-read-only" */
export async function mustBeReplaceable(path: string): Promise<void> {
  await keptOf(path);
}

/**
 * Where a disk keeps no owners or modes (camera cards) or only the administrator may set them,
 * they stay the new file's.
 */
async function handOn(file: FileHandle, { mode, uid, gid }: Keeps): Promise<void> {
  if (process.platform === "win32") return;
  const unsupported = (error: NodeJS.ErrnoException) => {
    if (!["EPERM", "ENOTSUP", "EINVAL", "ENOSYS"].includes(error.code ?? "")) throw error;
  };
  const stats = await file.stat();
  if (stats.uid !== uid || stats.gid !== gid) await file.chown(uid, gid).catch(unsupported);
  if ((stats.mode & PERMISSIONS) !== mode) await file.chmod(mode).catch(unsupported);
}

/**
 * Makes renames in a directory last through a power cut. Not every system lets a directory be flushed;
 * files are whole either way.
 */
export async function syncDirectory(directory: string): Promise<void> {
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
