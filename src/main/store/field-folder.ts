import { realpath, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import type { ClipEntry, LogReply } from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { mustBeClipName } from "./clip-name.ts";
import { diskCode, diskFault } from "./disk-fault.ts";
import { accessOf, type FolderAccess, folderReadOnly, type Probe } from "./folder-access.ts";
import { type FoundClip, findClip, listClips } from "./folder-clips.ts";
import { folderGone, identityOf, inodesLast, sameFolder } from "./folder-identity.ts";
import { clearLeftLock } from "./folder-lock.ts";
import { listLogs, readFolderLog } from "./folder-logs.ts";
import { type GenerationFile, recoverGeneration } from "./generation.ts";
import { HISTORY_FOLDER } from "./journal-file.ts";
import { isMissing } from "./missing-file.ts";
import { sweepLeftovers } from "./sweep-leftovers.ts";
import { WRITE_UP_ELSEWHERE, writeUpInto, writeUpPlace } from "./write-up-place.ts";

export type { FoundClip } from "./folder-clips.ts";

/**
 * The one folder that a service may read and write. Once it is gone, every call throws
 * FaultError "folder-gone".
 */
export interface FieldFolder {
  /** Absolute, links resolved. */
  readonly path: string;
  readonly name: string;
  /**
   * @throws FaultError "folder-gone" when the folder that was opened is not at its
   *   path any more, or another is
   */
  mustBeThere(): Promise<void>;
  /**
   * Tries whether it can be written. The first time that it can, what killed processes left is cleared away
   * and a write-up that one was exchanging is made whole.
   */
  access(): Promise<FolderAccess>;
  /**
   * For work that ends in a save, before it begins.
   * @param remedy by default to copy the folder
   * @throws FaultError "folder-read-only"
   */
  mustBeWritable(remedy?: string): Promise<void>;
  /**
   * The videos directly in the folder, by name in the order a person counts (shot 2 before shot 10). One that
   * cannot be used as it lies there carries the fault that says why.
   */
  listClips(): Promise<readonly ClipEntry[]>;
  /**
   * One clip by its plain file name. @throws FaultError "bad-clip-name", "no-such-clip" or "outside-folder"
   */
  findClip(name: string): Promise<FoundClip>;
  /** The files directly in the folder that may be logs carried on board. */
  listLogs(): Promise<readonly string[]>;
  /** One of them. @throws FaultError "no-such-log", "bad-clip-name", "outside-folder" or "log-too-large" */
  readLog(name: string): Promise<LogReply>;
  /**
   * Makes `write-up/` in the folder a new generation of files, whole or not at all; a name may have folders
   * before it ("figures/a.svg"). What a person keeps there stays.
   * @returns their paths relative to the folder, with forward slashes
   * @throws FaultError when it cannot be written
   */
  writeUp(files: readonly GenerationFile[]): Promise<readonly string[]>;
}

/** What tests put in place of the system. */
export interface FieldFolderOptions {
  readonly probe?: Probe;
  readonly platform?: string;
}

/** Opens a folder as the field folder. @throws FaultError "no-such-folder" or "not-a-folder" */
export async function openFieldFolder(given: string, options: FieldFolderOptions = {}): Promise<FieldFolder> {
  const path = await realpath(given).catch((error: unknown) => {
    throw isMissing(error)
      ? new FaultError(
          "no-such-folder",
          `There is no folder "${given}".`,
          "Give the path of the folder that holds your clips.",
        )
      : diskFault(error, `The folder "${given}" cannot be opened`);
  });
  if (!(await stat(path)).isDirectory()) {
    throw new FaultError(
      "not-a-folder",
      `"${given}" is a file, not a folder.`,
      "Give the folder that holds your clips, not one of the clips.",
    );
  }
  const name = basename(path) || path;
  const [opened, inodeLasts] = [await identityOf(path), await inodesLast(path)];
  let tidied = false;

  async function mustBeThere(): Promise<void> {
    const now = await identityOf(path).catch((error: unknown) => {
      throw isMissing(error) || isGone(error)
        ? folderGone(name)
        : diskFault(error, "The field folder cannot be read");
    });
    if (!sameFolder(opened, now, inodeLasts)) throw folderGone(name, true);
  }

  async function access(): Promise<FolderAccess> {
    await mustBeThere();
    const found = await accessOf(path, options.probe);
    if (found.access === "writable" && !tidied) tidied = await tidy(path);
    return found;
  }

  async function mustBeWritable(remedy?: string): Promise<void> {
    const { reason } = await access();
    if (reason !== null) throw folderReadOnly(name, reason, remedy);
  }

  return {
    path,
    name,
    mustBeThere,
    access,
    mustBeWritable,
    async listClips() {
      await mustBeThere();
      return listClips(path, options.platform);
    },
    async findClip(clip) {
      mustBeClipName(clip, options.platform);
      await mustBeThere();
      return findClip(path, clip);
    },
    async listLogs() {
      await mustBeThere();
      return listLogs(path);
    },
    async readLog(log) {
      await mustBeThere();
      return readFolderLog(path, log, options.platform);
    },
    async writeUp(files) {
      await mustBeWritable(WRITE_UP_ELSEWHERE);
      return writeUpInto(path, files);
    },
  };
}

/**
 * Clears away what killed processes left.
 * @returns false when it could not: that must not stop the opening, only come again
 */
async function tidy(folder: string): Promise<boolean> {
  try {
    await clearLeftLock(folder);
    await sweepLeftovers(folder);
    await sweepLeftovers(join(folder, HISTORY_FOLDER));
    const { parent, name } = await writeUpPlace(folder);
    await recoverGeneration(parent, name);
    return true;
  } catch {
    return false; // Writing the next write-up recovers first, and says what is wrong.
  }
}

/** The codes of a disk, card or network drive that was taken away while its folder was open. */
function isGone(error: unknown): boolean {
  return ["ENXIO", "ENODEV", "ENOMEDIUM", "ESTALE", "ENOTCONN"].includes(diskCode(error) ?? "");
}
