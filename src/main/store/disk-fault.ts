import type { DiskFaultCode } from "../../shared/quantity/fault-codes.ts";
import { FaultError } from "../../shared/quantity/notice.ts";

type Wording = readonly [code: DiskFaultCode, reason: string, remedy: string];

const MAKE_ROOM = "Make room on the disk, then try again.";
const TRY_AGAIN = "See whether the disk or card was taken out, then try again.";
const OTHER_DISK = "Copy the folder to another disk, then open it there.";
const CONNECTION = "See whether the network or the card reader is connected, then try again.";
const TOO_MANY = "Close some programs, then try again. If it happens again, restart Loftmark.";

/** What the file systems of disks, cards and network drives answer, each as a person can use it. */
const WORDINGS: Readonly<Record<string, Wording>> = {
  ENOSPC: ["disk-full", "the disk is full", MAKE_ROOM],
  EDQUOT: ["disk-full", "your share of the disk is used up", MAKE_ROOM],
  EFBIG: [
    "file-too-large",
    "the file is larger than this disk can hold",
    "Use a disk that is not formatted as FAT32, then try again.",
  ],
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
  ETXTBSY: ["in-use", "another program holds it", "Close the other program, then try again."],
  ENOENT: ["no-such-file", "it is not there any more", TRY_AGAIN],
  ENOTDIR: ["no-such-file", "a folder on the way to it is not there any more", TRY_AGAIN],
  ENXIO: ["disk-gone", "the disk or card is not there any more", TRY_AGAIN],
  ENODEV: ["disk-gone", "the disk or card is not there any more", TRY_AGAIN],
  ENOMEDIUM: ["disk-gone", "there is no card in the reader", TRY_AGAIN],
  ESTALE: [
    "disk-gone",
    "the network drive no longer knows it",
    "Connect the network drive again, then open the folder again.",
  ],
  ENOTCONN: ["disk-gone", "the drive is no longer connected", CONNECTION],
  EHOSTDOWN: ["disk-gone", "the machine that holds the drive does not answer", CONNECTION],
  EHOSTUNREACH: ["disk-gone", "the machine that holds the drive cannot be reached", CONNECTION],
  ENETUNREACH: ["disk-gone", "the machine that holds the drive cannot be reached", CONNECTION],
  ETIMEDOUT: ["disk-slow", "the drive did not answer in time", CONNECTION],
  EIO: ["disk-error", "the disk could not read or write it", OTHER_DISK],
  EREMOTEIO: ["disk-error", "the disk could not read or write it", OTHER_DISK],
  EUCLEAN: [
    "disk-error",
    "the disk's own records are damaged",
    "Check the disk for errors with your system's tool, then try again.",
  ],
  EILSEQ: [
    "bad-file-name",
    "this disk cannot hold the characters of its name",
    "Rename it with plain letters and digits, then try again.",
  ],
  ENAMETOOLONG: [
    "bad-file-name",
    "its name or path is too long for this disk",
    "Give it a shorter name, or move the folder nearer to the top of the disk.",
  ],
  ELOOP: [
    "bad-link",
    "it is a link that leads back to itself",
    "Replace the link by the file or folder itself.",
  ],
  EISDIR: [
    "in-the-way",
    "a folder of that name is in its place",
    "Rename or move that folder, then try again.",
  ],
  ENOTEMPTY: [
    "in-the-way",
    "a folder of that name is in its place and is not empty",
    "Rename or move that folder, then try again.",
  ],
  EEXIST: ["in-the-way", "a file of that name is in its place", "Rename or move that file, then try again."],
  EMFILE: ["too-many-files", "Loftmark has too many files open", TOO_MANY],
  ENFILE: ["too-many-files", "the system has too many files open", TOO_MANY],
  ENOMEM: ["no-memory", "the system has no memory left", TOO_MANY],
  ENOLCK: ["not-locked", "the drive cannot lock files", OTHER_DISK],
  ENOTSUP: ["not-supported", "this disk cannot do it", OTHER_DISK],
  EOPNOTSUPP: ["not-supported", "this disk cannot do it", OTHER_DISK],
  ENOSYS: ["not-supported", "this disk cannot do it", OTHER_DISK],
};

/**
 * Describes a failure of the file system to a person; anything else is passed on as it is.
 * @param doing e.g. "loftmark.json could not be saved"
 */
export function diskFault(error: unknown, doing: string): unknown {
  const code = diskCode(error);
  if (code === null) return error;
  const [faultCode, reason, remedy] = WORDINGS[code] ?? [
    "disk-error",
    reasonOf(code),
    "See whether the disk is there and can be written, then try again.",
  ];
  return new FaultError(faultCode, `${doing}: ${reason}.`, remedy);
}

/** The reason in words for a code of the file system, e.g. "the disk is read-only". */
export function reasonOf(code: string): string {
  return WORDINGS[code]?.[1] ?? `the system says ${code}`;
}

/**
 * The code of a failure of the file system, such as ENOSPC; null for faults that are
 * worded, bugs and stopped work.
 */
export function diskCode(error: unknown): string | null {
  if (error instanceof FaultError || !(error instanceof Error)) return null;
  const { code } = error as NodeJS.ErrnoException;
  // ERR_... is a bug in a call, and stopped work has a number.
  return typeof code === "string" && /^E[A-Z0-9]+$/.test(code) ? code : null;
}
