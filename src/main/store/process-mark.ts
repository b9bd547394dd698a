import { createHash } from "node:crypto";
import { readFileSync, readlinkSync } from "node:fs";
import { hostname } from "node:os";

/** What tells one process from every other, on this machine and on others that see the same disk. */
export interface ProcessMark {
  readonly pid: number;
  readonly host: string;
  /**
   * Within which a pid names one process: on Linux the boot and the pid namespace, so that a restarted
   * machine, a container and a second machine of the same name are not taken for this one. Empty where
   * the system does not say.
   */
  readonly space: string;
  /**
   * When the process started, clock ticks after boot; null where the system does not say. A pid is
   * used again, this is not.
   */
  readonly started: string | null;
}

/** "unknown": of another machine, or a pid that may have been given to another process since. */
export type Presence = "running" | "gone" | "unknown";

const [STATE, STARTED] = [0, 19]; // of /proc/PID/stat, counted after the name: fields 3 and 22 of proc(5)

let own: ProcessMark | undefined;

/** The mark of this process. */
export function ownMark(): ProcessMark {
  own ??= {
    pid: process.pid,
    host: hostname(),
    space: [
      read(() => readFileSync("/proc/sys/kernel/random/boot_id", "latin1")),
      read(() => readlinkSync("/proc/self/ns/pid")),
    ]
      .filter((part) => part !== null)
      .join(" "),
    started: procStat(process.pid)?.[STARTED] ?? null,
  };
  return own;
}

/**
 * Whether a process still runs, as far as this machine can tell. A process that ended and
 * waits to be reaped is gone.
 */
export function presenceOf(mark: ProcessMark): Presence {
  const { host, space } = ownMark();
  if (mark.host !== host || mark.space !== space) return "unknown";
  if (!answers(mark.pid)) return "gone";
  const stat = procStat(mark.pid);
  if (stat === null || mark.started === null) return "unknown";
  return stat[STARTED] === mark.started && !/[ZX]/.test(stat[STATE] ?? "") ? "running" : "gone";
}

/** Names the machine and boot of a mark in a few characters, for file names. */
export function machineTag({ host, space }: Pick<ProcessMark, "host" | "space">): string {
  return createHash("sha256").update(`${host} ${space}`).digest("hex").slice(0, 8);
}

function answers(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== "ESRCH"; // EPERM: it runs, but for somebody else.
  }
}

/** The fields of /proc/PID/stat after the program's name, which may itself hold spaces and brackets. */
function procStat(pid: number): readonly string[] | null {
  const text = read(() => readFileSync(`/proc/${pid}/stat`, "latin1"));
  return text === null ? null : text.slice(text.lastIndexOf(")") + 2).split(" ");
}

/** Null where the system has no such file: these files only exist on Linux. */
function read(from: () => string): string | null {
  try {
    return from().trim();
  } catch {
    return null;
  }
}
