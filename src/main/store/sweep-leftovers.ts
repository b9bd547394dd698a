import { lstat, readdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { machineTag, ownMark, presenceOf } from "./process-mark.ts";
import { readTemporaryName, type TemporaryOf } from "./temporary-name.ts";

/**
 * Longer than any file takes to write: what another machine, or this one before its last
 * start, has left for so long.
 */
const OLD_MS = 3_600_000;

/**
 * Removes what processes that are gone were still writing directly in a directory when they ended, files and
 * folders by the names of `temporaryName`. Never what a living process writes, and nothing of any other name.
 * What another machine or an earlier start of this one made is removed when an hour old. A directory that
 * cannot be read is left as it is.
 * @returns the names removed
 */
export async function sweepLeftovers(directory: string, nowMs = Date.now()): Promise<readonly string[]> {
  const names = await readdir(directory).catch(() => []);
  const removed: string[] = [];
  for (const name of names) {
    const of = readTemporaryName(name);
    if (of === null || !(await isLeft(of, join(directory, name), nowMs))) continue;
    try {
      await rm(join(directory, name), { recursive: true, force: true });
      removed.push(name);
    } catch {
      // Read-only or held open: it harms nobody, and the next start tries again.
    }
  }
  return removed;
}

async function isLeft(of: TemporaryOf, path: string, nowMs: number): Promise<boolean> {
  const own = ownMark();
  const presence = of.machine === machineTag(own) ? presenceOf({ ...own, ...of }) : "unknown";
  if (presence !== "unknown") return presence === "gone";
  const stats = await lstat(path).catch(() => null);
  return stats !== null && nowMs - stats.mtimeMs > OLD_MS;
}
