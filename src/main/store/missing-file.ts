import type { Stats } from "node:fs";
import { lstat } from "node:fs/promises";

/** @returns what is at the path itself, links not followed; null when there is nothing */
export async function statOrNull(path: string): Promise<Stats | null> {
  return lstat(path).catch((error: unknown) => {
    if (isMissing(error)) return null;
    throw error;
  });
}

export function isMissing(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException | null)?.code;
  return code === "ENOENT" || code === "ENOTDIR";
}
