import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { readlink } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { isRunning, startOf } from "./maker.ts";

const FILE = "running.json";
const RunningSchema = z.strictObject({ pid: z.int().positive(), start: z.int().positive() });

/**
 * Notes in a folder which program works in it, so that a later run can end it when this process is
 * killed first. Only where the system says when a process started (Linux): a number alone may be
 * another program's by then.
 * @returns takes the note away again
 */
export function noteRunning(folder: string, pid: number | undefined): () => void {
  const start = pid === undefined ? null : startOf(pid);
  if (start === null) return () => undefined;
  const file = join(folder, FILE);
  try {
    writeFileSync(file, JSON.stringify({ pid, start }));
  } catch {
    // A folder that cannot be written to ends the program by itself.
  }
  return () => rmSync(file, { force: true });
}

/**
 * Ends the program that was noted in a folder, if it is still that very program at work in that very folder.
 */
export async function endRunning(folder: string): Promise<void> {
  try {
    const noted = RunningSchema.parse(JSON.parse(readFileSync(join(folder, FILE), "utf8")));
    if (!isRunning(noted) || (await readlink(`/proc/${noted.pid}/cwd`)) !== folder) return;
    process.kill(noted.pid, "SIGKILL");
  } catch {
    // Nothing noted, or it has ended: then there is nothing to end.
  }
}
