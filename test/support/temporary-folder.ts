import { mkdtemp, readdir, readFile, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach } from "vitest";

const made: string[] = [];

afterEach(async () => {
  // Tried again, because a session's file may still be on its way when a test ends.
  for (const folder of made.splice(0)) await rm(folder, { recursive: true, force: true, maxRetries: 5 });
});

/** A new empty folder, links resolved, removed after the test that made it. */
export async function temporaryFolder(): Promise<string> {
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark test ")));
  made.push(folder);
  return folder;
}

/** Every file below a folder with its text, by relative path: two of these differ if anything was written. */
export async function snapshotOf(folder: string): Promise<Readonly<Record<string, string>>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => entry.isFile()).map((entry) => join(entry.parentPath, entry.name));
  const pairs = await Promise.all(
    files
      .sort()
      .map(async (file) => [file.slice(folder.length + 1), await readFile(file, "latin1")] as const),
  );
  return Object.fromEntries(pairs);
}
