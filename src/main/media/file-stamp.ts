import { type BigIntStats, promises as fs } from "node:fs";

/**
 * What the system tells of one state of a file, as a text to compare: size, time of change of the content and
 * of the entry to the nanosecond, and the file's number on its disk. A copy laid over a file under its old
 * time of change still has another entry time, or another number. A system that keeps none of the last two
 * gives zeros, the same every time.
 */
export interface FileStamp {
  readonly text: string;
  readonly bytes: number;
  /** ms, as Stats.mtimeMs. */
  readonly modifiedMs: number;
}

/** @throws what the system says when the file cannot be looked at */
export async function stampOf(path: string): Promise<FileStamp> {
  return fromStats(await fs.stat(path, { bigint: true }));
}

/** The stamp of a file that is open. */
export async function stampOfOpen(file: fs.FileHandle): Promise<FileStamp> {
  return fromStats(await file.stat({ bigint: true }));
}

/** Whether a stamp is of the size and time that a listing of the folder gave; its time is rounded there. */
export function isOfEntry(
  stamp: FileStamp,
  entry: { readonly bytes: number; readonly modifiedMs: number },
): boolean {
  return stamp.bytes === entry.bytes && Math.abs(stamp.modifiedMs - entry.modifiedMs) < 1e-3;
}

function fromStats({ size, mtimeNs, ctimeNs, ino }: BigIntStats): FileStamp {
  return {
    text: `${size} ${mtimeNs} ${ctimeNs} ${ino}`,
    bytes: Number(size),
    modifiedMs: Number(mtimeNs / 1000000n) + Number(mtimeNs % 1000000n) / 1e6,
  };
}
