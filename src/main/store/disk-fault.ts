import { FaultError } from "../../shared/quantity/notice.ts";

const REMEDIES: Readonly<Record<string, readonly [code: string, reason: string, remedy: string]>> = {
  ENOSPC: ["disk-full", "the disk is full", "Make room on the disk, then try again."],
  EDQUOT: ["disk-full", "your share of the disk is used up", "Make room on the disk, then try again."],
  EACCES: [
    "not-allowed",
    "you have no right to it",
    "Give yourself the right to read and write it, or copy the folder to a place of your own.",
  ],
  EPERM: [
    "not-allowed",
    "the system does not allow it",
    "Close other programs that use the file, or copy the folder to a place of your own.",
  ],
  EROFS: [
    "read-only-disk",
    "the disk is read-only",
    "Copy the folder to a disk that can be written, then open it there.",
  ],
  EBUSY: ["in-use", "another program holds it", "Close the other program, then try again."],
  ENOENT: [
    "no-such-file",
    "it is not there any more",
    "See whether the disk or card was taken out, then try again.",
  ],
  EIO: [
    "disk-error",
    "the disk does not answer rightly",
    "Copy the folder to another disk, then open it there.",
  ],
};

/** Words a failure of the file system for a person; anything else is passed on as it is. @param doing e.g. "loftmark.json could not be saved" */
export function diskFault(error: unknown, doing: string): unknown {
  if (error instanceof FaultError || !(error instanceof Error)) return error;
  const code = (error as NodeJS.ErrnoException).code;
  // Codes of the file system are words such as ENOSPC; ERR_... is a bug, and a number belongs to stopped work.
  if (typeof code !== "string" || !/^E[A-Z0-9]+$/.test(code)) return error;
  const [faultCode, reason, remedy] = REMEDIES[code] ?? [
    "disk-error",
    `the system says ${code}`,
    "See whether the disk is there and can be written, then try again.",
  ];
  return new FaultError(faultCode, `${doing}: ${reason}.`, remedy);
}
