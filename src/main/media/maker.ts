import { readFileSync } from "node:fs";

/**
 * A process, by its number and when it started. Numbers are given again, and in a container the next run
 * often has the number of the one before; the start tells the two apart where the system says it (Linux).
 */
export interface Maker {
  readonly pid: number;
  /** Ticks since the system started; 0 where the system does not say. */
  readonly start: number;
}

/** This process; the same in all of its threads. */
export const THIS_MAKER: Maker = { pid: process.pid, start: startOf(process.pid) ?? 0 };

/** A name for a folder that a process makes something in. */
export function folderNameOf({ pid, start }: Maker, id: string): string {
  return `making-${pid}-s${start}-${id}`;
}

/** Who a folder of that name belongs to; null when the name says nobody. */
export function makerOf(name: string): Maker | null {
  const match = /^making-(\d+)-(?:s(\d+)-)?/.exec(name);
  return match === null ? null : { pid: Number(match[1]), start: Number(match[2] ?? 0) };
}

/** Whether a process still runs. Where the system does not say when it started, its number alone decides. */
export function isRunning({ pid, start }: Maker): boolean {
  if (pid === THIS_MAKER.pid) return start === THIS_MAKER.start;
  if (start !== 0) return startOf(pid) === start;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM"; // it runs and is someone else's
  }
}

/**
 * When a process started, ticks since the system did; null where the system does not say,
 * and for one that has ended.
 */
export function startOf(pid: number): number | null {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, "utf8");
    // The second field is the program's name in brackets, which may hold spaces and brackets
    // itself; the start is the 22nd.
    const [state, ...fields] = text.slice(text.lastIndexOf(")") + 2).split(" ");
    const ticks = Number(fields[18]);
    return state === "Z" || !(ticks > 0) ? null : ticks; // Z: it has ended, only nobody has asked how
  } catch {
    return null;
  }
}
