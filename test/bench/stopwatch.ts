import { readFileSync } from "node:fs";

/** What one run took. */
export interface Taken {
  readonly wallMs: number;
  /**
   * Processor time of this process and of the programs it ran to their end; null where
   * the system does not tell.
   */
  readonly cpuMs: number | null;
}

const TICK_MS = 10; // Linux counts the time of ended children in hundredths of a second for every program

/** Times `work` by the wall clock and by processor time, that of the programs it starts included. */
export async function timed(work: () => Promise<unknown>): Promise<Taken> {
  const [own, children, from] = [process.cpuUsage(), childrenMs(), performance.now()];
  await work();
  const wallMs = performance.now() - from;
  const used = process.cpuUsage(own);
  const after = childrenMs();
  return {
    wallMs,
    cpuMs: children === null || after === null ? null : after - children + (used.user + used.system) / 1000,
  };
}

/** Processor time of all children that have ended, ms; null where there is no /proc. */
function childrenMs(): number | null {
  try {
    const text = readFileSync("/proc/self/stat", "utf8");
    // The second field, the program's name in brackets, may hold spaces: count from
    // the bracket that closes it.
    const fields = text.slice(text.lastIndexOf(")") + 2).split(" ");
    return (Number(fields[13]) + Number(fields[14])) * TICK_MS;
  } catch {
    return null;
  }
}
