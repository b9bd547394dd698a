import { createHash } from "node:crypto";
import { lstat, mkdir, open, readdir, readFile, realpath, rename, rm, rmdir, unlink } from "node:fs/promises";
import { basename, dirname, extname, join } from "node:path";
import { z } from "zod";
import { FaultError } from "../../shared/quantity/notice.ts";
import { syncDirectory, writeAtomically } from "./atomic-write.ts";
import { mustBePortableName } from "./clip-name.ts";
import { withFolderLock } from "./folder-lock.ts";
import { isSystemFile } from "./system-file.ts";
import { temporaryName } from "./temporary-name.ts";

/*
 * A generation is a folder whose files belong together and are exchanged together, such as a write-up. It
 * holds a list of them with a hash of each, so that Loftmark's files can be told from those that a person put
 * there or has changed: nothing is ever removed that is not on the list with the content that was written.
 *
 *   1  The new generation is written whole into a hidden folder beside the present one.
 *   2  The present one is renamed aside.
 *   3  The new one is renamed to its place.
 *   4  What is the person's in the one aside is moved into the new one; the rest is removed.
 *
 * A process killed in 1 leaves a folder to sweep; between 2 and 3 the one aside is put back, and later 4 is
 * finished, both by `recoverGeneration` under the same lock.
 */

// characters of a name that is kept; at most 180 bytes of the 255 that a name may have
const LONGEST_STEM = 60;
const LIST = ".loftmark-write-up.json";
const ListSchema = z.object({
  format: z.literal("loftmark-write-up"),
  files: z.record(z.string(), z.array(z.string())),
});

/**
 * Which files are of a generation: by name, with / for folders, the SHA-256 of every
 * content that Loftmark gave it.
 */
type Listed = Readonly<Record<string, readonly string[]>>;

export interface GenerationFile {
  /** A plain name, or one with plain folders before it and / between. */
  readonly name: string;
  readonly text: string;
}

/**
 * Makes `parent`/`name` a new generation of files, whole. What a person put there stays; where it has
 * the name of a new file, or is a file of the last generation that was changed since, it is kept
 * beside it as "NAME (kept)".
 * @param parent a real path
 * @throws FaultError "bad-clip-name"; what the system says, the present generation then being as it was
 */
export async function writeGeneration(
  parent: string,
  name: string,
  files: readonly GenerationFile[],
): Promise<void> {
  mustBeNames(files);
  const fresh = join(parent, temporaryName(name));
  try {
    await writeAll(fresh, files);
    await withFolderLock(parent, async () => {
      await recover(parent, name);
      await exchange(parent, name, fresh);
      await recover(parent, name);
    });
  } catch (error) {
    // swept later; the first failure counts
    await rm(fresh, { recursive: true, force: true }).catch(() => {});
    throw error;
  }
}

/**
 * Finishes what a process that was killed while it exchanged a generation has begun;
 * does nothing when none has.
 */
export async function recoverGeneration(parent: string, name: string): Promise<void> {
  if (await exists(asideOf(parent, name))) await withFolderLock(parent, () => recover(parent, name));
}

/**
 * Writes files into a folder that is not a generation alone, because a person keeps other things there: all
 * are written beside first, then each is renamed to its place. A kill in between can leave new files beside
 * old ones; writing again makes them whole. What a person put there is kept as by `writeGeneration`.
 * @param folder a real path
 */
export async function writeAmongOthers(folder: string, files: readonly GenerationFile[]): Promise<void> {
  mustBeNames(files);
  const fresh = join(folder, temporaryName("write-up"));
  try {
    await writeAll(fresh, files);
    await withFolderLock(folder, async () => {
      for (const { name } of files) await makeFolders(folder, name);
      const before = await listed(folder);
      // Until all are in place the list names the old and the new, so that a kill
      // leaves none that nobody knows.
      const both: Record<string, readonly string[]> = { ...before };
      for (const [name, hashes] of Object.entries(await listed(fresh))) {
        both[name] = [...(Object.hasOwn(before, name) ? before[name]! : []), ...hashes];
      }
      await writeAtomically(join(folder, LIST), listText(both));
      for (const { name } of files) {
        const target = join(folder, name);
        if ((await exists(target)) && !(await isOf(before, target, name)))
          await rename(target, await keptName(target));
        await rename(join(fresh, name), target);
      }
      const now = new Set(files.map(({ name }) => name));
      for (const name of Object.keys(before)) {
        if (!now.has(name) && (await isOf(before, join(folder, name), name)))
          await unlink(join(folder, name));
      }
      await rename(join(fresh, LIST), join(folder, LIST));
      await syncDirectory(folder);
    });
  } finally {
    await rm(fresh, { recursive: true, force: true }).catch(() => {}); // swept later
  }
}

/** Whether a folder holds nothing but a generation, so that it can be exchanged whole. */
export async function isGenerationAlone(folder: string): Promise<boolean> {
  const ours = await listed(folder);
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries.filter((entry) => !entry.isDirectory());
  return files.every((entry) => {
    const name = join(entry.parentPath, entry.name)
      .slice(folder.length + 1)
      .replaceAll("\\", "/");
    return name === LIST || Object.hasOwn(ours, name) || isSystemFile(entry.name);
  });
}

/** @throws FaultError "bad-clip-name" for a name that is not plain steps with / between */
export function mustBeNames(files: readonly GenerationFile[]): void {
  for (const { name } of files) for (const step of name.split("/")) mustBePortableName(step);
}

async function writeAll(folder: string, files: readonly GenerationFile[]): Promise<void> {
  await mkdir(folder);
  const hashes: Record<string, string[]> = {};
  for (const { name, text } of files) {
    await mkdir(dirname(join(folder, name)), { recursive: true });
    await writeFlushed(join(folder, name), text);
    hashes[name] = [hashOf(Buffer.from(text))];
  }
  await writeFlushed(join(folder, LIST), listText(hashes));
  await syncDirectory(folder);
}

function listText(files: Listed): string {
  return `${JSON.stringify({ format: "loftmark-write-up", files }, null, 2)}\n`;
}

async function writeFlushed(path: string, text: string): Promise<void> {
  const file = await open(path, "wx");
  try {
    await file.writeFile(text);
    await file.sync();
  } finally {
    await file.close();
  }
}

async function exchange(parent: string, name: string, fresh: string): Promise<void> {
  const [present, aside] = [join(parent, name), asideOf(parent, name)];
  if (await exists(present)) {
    if (!(await lstat(present)).isDirectory()) throw inTheWay(name);
    await rename(present, aside);
  }
  try {
    await rename(fresh, present);
  } catch (error) {
    await recover(parent, name).catch(() => {}); // the next opening tries again; the first failure counts
    throw error;
  }
  await syncDirectory(parent);
}

/**
 * Under the lock: puts the generation aside back when none is in its place, else
 * moves over what is not of it.
 */
async function recover(parent: string, name: string): Promise<void> {
  const [present, aside] = [join(parent, name), asideOf(parent, name)];
  if (!(await exists(aside))) return;
  if (!(await exists(present))) {
    await rename(aside, present);
    return;
  }
  // What is in its place may be a person's own folder of the name: then the one aside is the only generation.
  const replaced = await exists(join(present, LIST));
  await moveOver(aside, present, "", replaced ? await listed(aside) : null);
  // The list comes last: what a kill left before can still be recognised.
  if (replaced) await rm(join(aside, LIST), { force: true });
  else if (await exists(join(aside, LIST))) await rename(join(aside, LIST), join(present, LIST));
  await rmdir(aside);
}

/**
 * Moves what is not to be removed, all but the list.
 * @param ours what may be removed because a newer generation is in place; null for nothing
 */
async function moveOver(from: string, to: string, under: string, ours: Listed | null): Promise<void> {
  for (const entry of await readdir(from, { withFileTypes: true })) {
    if (under === "" && entry.name === LIST) continue;
    const [source, target, name] = [join(from, entry.name), join(to, entry.name), `${under}${entry.name}`];
    if (entry.isDirectory()) {
      const holdsOurs = ours !== null && Object.keys(ours).some((one) => one.startsWith(`${name}/`));
      const there = await lstat(target).catch(() => null);
      if (there === null && !holdsOurs) await rename(source, target);
      else if (there === null || there.isDirectory()) {
        await moveOver(source, target, `${name}/`, ours);
        await rmdir(source);
      } else await rename(source, await keptName(target));
    } else if (isSystemFile(entry.name) || (ours !== null && (await isOf(ours, source, name)))) {
      await unlink(source);
    } else {
      await mkdir(to, { recursive: true });
      await rename(source, (await exists(target)) ? await keptName(target) : target);
    }
  }
}

/** @returns what the folder's list names; nothing when it has none, or one that Loftmark did not write */
async function listed(folder: string): Promise<Listed> {
  try {
    return ListSchema.parse(JSON.parse(await readFile(join(folder, LIST), "utf8"))).files;
  } catch {
    return {}; // Then nothing in it counts as Loftmark's, and all is kept.
  }
}

async function isOf(list: Listed, path: string, name: string): Promise<boolean> {
  if (!Object.hasOwn(list, name)) return false;
  const stats = await lstat(path).catch(() => null);
  // A list is a file like others: whatever it names, only a file in the folder itself can be meant.
  if (stats === null || !stats.isFile() || (await realpath(path)) !== path) return false;
  return list[name]!.includes(hashOf(await readFile(path)));
}

async function makeFolders(folder: string, name: string): Promise<void> {
  const parent = dirname(join(folder, name));
  await mkdir(parent, { recursive: true });
  if ((await realpath(parent)) !== parent) {
    throw new FaultError(
      "outside-folder",
      `The folder of ${name} is a link.`,
      "Remove the link, or write to another folder; Loftmark writes nothing through links.",
    );
  }
}

/** A free name beside a file: "marks (kept).csv", then "marks (kept 2).csv". */
async function keptName(path: string): Promise<string> {
  const ending = extname(path);
  const stem = basename(path, ending).slice(0, LONGEST_STEM);
  for (let count = 1; ; count++) {
    const kept = join(dirname(path), `${stem} (kept${count === 1 ? "" : ` ${count}`})${ending}`);
    if (!(await exists(kept))) return kept;
  }
}

function asideOf(parent: string, name: string): string {
  return join(parent, `.${name}.loftmark-before`);
}

async function exists(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (error.code === "ENOENT" || error.code === "ENOTDIR") return false;
      throw error;
    },
  );
}

function hashOf(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

function inTheWay(name: string): FaultError {
  return new FaultError(
    "in-the-way",
    `A file called ${name} is where the folder ${name} belongs.`,
    "Rename or move that file, then try again.",
  );
}
