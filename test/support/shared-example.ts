import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { mkdtemp, readdir, readlink, rename, rm, stat, symlink } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { writeExample } from "../../src/main/example/write-example.ts";

const SOURCE = join(import.meta.dirname, "../../src");
/** What an example is made of: with another content of these it is another example. */
const ROOMS = [
  "main/example",
  "main/media",
  "shared/inputs",
  "shared/launch",
  "shared/numeric",
  "shared/quantity",
  "shared/session",
  "shared/uncertainty",
];
const PREFIX = "loftmark-shared-example-";
const KEPT_MS = 24 * 3600 * 1000;

/**
 * A folder with the example launch, drawn once for all test files, runs and checkouts of the same source;
 * copy it, never write into it. Whoever comes while another process draws it waits for that. Those of other
 * sources are removed a day after they were made.
 */
export async function sharedExample(ffmpegPath: string): Promise<string> {
  const folder = join(tmpdir(), PREFIX + sourceKey());
  const lock = `${folder}.lock`;
  const isDrawn = () => isThere(join(folder, "loftmark.json"));
  while (!(await isDrawn())) {
    // A link to the number of the process: it is there whole or not at all.
    if (!(await made(symlink(String(process.pid), lock)))) {
      await waitFor(lock, isDrawn);
      continue;
    }
    try {
      if (!(await isDrawn())) await drawInto(folder, ffmpegPath);
    } finally {
      await rm(lock, { force: true });
    }
  }
  return folder;
}

async function drawInto(folder: string, ffmpegPath: string): Promise<void> {
  await removeOld();
  const drawing = await mkdtemp(join(tmpdir(), "loftmark-example-"));
  await writeExample(drawing, { ffmpegPath });
  await rename(drawing, folder);
}

/** Waits until the example is drawn or its lock is gone; takes away the lock of a process that has died. */
async function waitFor(lock: string, isDrawn: () => Promise<boolean>): Promise<void> {
  while (!(await isDrawn())) {
    const pid = Number(await readlink(lock).catch(() => Number.NaN));
    if (Number.isNaN(pid)) return;
    if (!isAlive(pid)) return rm(lock, { force: true });
    await pause(100);
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM"; // somebody else's
  }
}

function made(making: Promise<void>): Promise<boolean> {
  return making.then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (error.code === "EEXIST") return false;
      throw error;
    },
  );
}

function sourceKey(): string {
  const hash = createHash("sha256");
  for (const room of ROOMS) {
    const names = readdirSync(join(SOURCE, room), { recursive: true, encoding: "utf8" }).sort();
    for (const name of names.filter((one) => one.endsWith(".ts"))) {
      hash.update(`${room}/${name}\n`).update(readFileSync(join(SOURCE, room, name)));
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
