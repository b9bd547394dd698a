import { open, rm } from "node:fs/promises";
import { join } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { diskCode, diskFault, reasonOf } from "./disk-fault.ts";
import { temporaryName } from "./temporary-name.ts";

const REFUSALS = ["EROFS", "EACCES", "EPERM"];

/** Whether anything can be saved in a folder; when not, why, in words that follow "because". */
export interface FolderAccess {
  readonly access: "writable" | "read-only";
  readonly reason: string | null;
}

/** Makes and removes a hidden file in a folder. @throws what the system says */
export type Probe = (folder: string) => Promise<void>;

/**
 * Tries whether a folder can be written, because nothing else tells: modes mean nothing to an administrator,
 * on a card or on a network drive. A full disk is writable; saving then says that it is full.
 * @throws FaultError when the disk does not answer at all
 */
export async function accessOf(folder: string, probe: Probe = makeAndRemove): Promise<FolderAccess> {
  try {
    await probe(folder);
  } catch (error) {
    const code = diskCode(error);
    if (code !== null && REFUSALS.includes(code)) return { access: "read-only", reason: reasonOf(code) };
    if (code !== "ENOSPC" && code !== "EDQUOT") throw diskFault(error, "The folder cannot be used");
  }
  return { access: "writable", reason: null };
}

/**
 * A failure to make or change a file in a folder that means the whole folder is read-only,
 * worded; anything else as it is.
 */
export function readOnlyFault(error: unknown, folderName: string): unknown {
  const code = diskCode(error);
  return code !== null && REFUSALS.includes(code) ? folderReadOnly(folderName, reasonOf(code)) : error;
}

export function folderReadOnly(
  folderName: string,
  reason: string,
  remedy = "Copy the folder to a disk of your own and use the copy.",
): FaultError {
  return new FaultError("folder-read-only", `The folder "${folderName}" is read-only: ${reason}.`, remedy);
}

async function makeAndRemove(folder: string): Promise<void> {
  const path = join(folder, temporaryName("loftmark.probe"));
  await (await open(path, "wx")).close();
  await rm(path);
}
