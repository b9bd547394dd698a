import { createHash } from "node:crypto";
import { readdirSync, statSync } from "node:fs";
import { mkdtemp, readdir, rename, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { writeExample } from "../../src/main/example/write-example.ts";

const SOURCE = join(import.meta.dirname, "../../src");
/** What an example is made of: another file here, or another time of change, is another example. */
const ROOMS = ["main/example", "main/media", "shared/example", "shared/launch", "shared/session"];
const PREFIX = "loftmark-shared-example-";
const KEPT_MS = 24 * 3600 * 1000;

/**
 * A folder with the example launch, drawn once for all test files and runs of the same source; copy it, never write into it. Those of
 * other sources are removed a day after they were made.
 */
export async function sharedExample(ffmpegPath: string): Promise<string> {
  const folder = join(tmpdir(), PREFIX + sourceKey());
  if (await isThere(join(folder, "loftmark.json"))) return folder;
  await removeOld();
  const made = await mkdtemp(join(tmpdir(), "loftmark-example-"));
  await writeExample(made, { ffmpegPath });
  try {
    await rename(made, folder);
  } catch (error) {
    await rm(made, { recursive: true, force: true });
    if (!(await isThere(join(folder, "loftmark.json")))) throw error; // else another run was first
  }
  return folder;
}

function sourceKey(): string {
  const hash = createHash("sha256");
  for (const room of ROOMS) {
    for (const name of readdirSync(join(SOURCE, room)).sort()) {
      const { mtimeMs, size } = statSync(join(SOURCE, room, name));
      hash.update(`${room}/${name} ${mtimeMs} ${size}\n`);
    }
  }
  return hash.digest("hex").slice(0, 16);
}

async function removeOld(): Promise<void> {
  for (const name of await readdir(tmpdir())) {
    const path = join(tmpdir(), name);
    if (!name.startsWith(PREFIX)) continue;
    const made = await stat(path).catch(() => null);
    if (made !== null && Date.now() - made.mtimeMs > KEPT_MS)
      await rm(path, { recursive: true, force: true });
  }
}

function isThere(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}
