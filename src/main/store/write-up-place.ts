import { mkdir, realpath } from "node:fs/promises";
import { basename, dirname, join, sep } from "node:path";
import { diskFault } from "./disk-fault.ts";
import { accessOf } from "./folder-access.ts";
import {
  type GenerationFile,
  isGenerationAlone,
  mustBeNames,
  recoverGeneration,
  writeAmongOthers,
  writeGeneration,
} from "./generation.ts";
import { mustBeInside } from "./inside-folder.ts";
import { isMissing } from "./missing-file.ts";

const WRITE_UP = "write-up";

/** What to do where the field folder is read-only. */
export const WRITE_UP_ELSEWHERE =
  'Copy the folder to a disk of your own and use the copy, or write it elsewhere: "measure FOLDER --out DIR".';

/**
 * Makes `write-up/` in a field folder a new generation.
 * @returns paths relative to the folder
 * @throws FaultError
 */
export async function writeUpInto(
  folder: string,
  files: readonly GenerationFile[],
): Promise<readonly string[]> {
  mustBeNames(files);
  try {
    const { parent, name } = await writeUpPlace(folder);
    await mustLeadNowhere(folder, join(parent, name), files);
    await writeGeneration(parent, name, files);
  } catch (error) {
    throw diskFault(error, `The write-up could not be written into "${WRITE_UP}"`);
  }
  return files.map((file) => `${WRITE_UP}/${file.name}`);
}

/**
 * Where the write-up lies: in the folder, or where a link leads that stays in it.
 * @throws FaultError "outside-folder"
 */
export async function writeUpPlace(
  folder: string,
): Promise<{ readonly parent: string; readonly name: string }> {
  const path = await realpath(join(folder, WRITE_UP)).catch((error: unknown) => {
    if (isMissing(error)) return join(folder, WRITE_UP);
    throw error;
  });
  mustBeInside(folder, path, "The folder write-up");
  return { parent: dirname(path), name: basename(path) };
}

/**
 * Refuses when a folder that the files are to go into is now a link out: the person
 * expects them where it leads.
 */
async function mustLeadNowhere(
  folder: string,
  place: string,
  files: readonly GenerationFile[],
): Promise<void> {
  for (const { name } of files) {
    const inner = dirname(name);
    if (inner === ".") continue;
    const path = await realpath(join(place, inner)).catch(() => null);
    if (path !== null) mustBeInside(folder, path, `The folder of ${name}`);
  }
}

/**
 * Writes files into a directory of the person's choice, made if missing. One that is new, or holds
 * nothing but files that Loftmark wrote there before, is exchanged as a whole; in one that holds other
 * things each file is put in place.
 * @param standingIn the person's working directory: it must stay the directory it is
 * @throws FaultError "bad-clip-name", "outside-folder", or when the disk refuses
 */
export async function writeFilesInto(
  directory: string,
  files: readonly GenerationFile[],
  standingIn: string,
): Promise<void> {
  mustBeNames(files);
  try {
    const { parent, name, path } = await placeOf(directory);
    if (path === null || (await mayBeExchanged(path, parent, standingIn)))
      await writeGeneration(parent, name, files);
    else await writeAmongOthers(path, files);
  } catch (error) {
    throw diskFault(error, `The write-up could not be written into "${basename(directory)}"`);
  }
}

/**
 * @returns the real place of a directory; `path` is null when it is not there yet,
 *   its parents then being made
 */
async function placeOf(directory: string) {
  const path = await realpath(directory).catch((error: unknown) => {
    if (isMissing(error)) return null;
    throw error;
  });
  if (path !== null) return { path, parent: dirname(path), name: basename(path) };
  await mkdir(dirname(directory), { recursive: true });
  return { path, parent: await realpath(dirname(directory)), name: basename(directory) };
}

async function mayBeExchanged(path: string, parent: string, standingIn: string): Promise<boolean> {
  const here = await realpath(standingIn).catch(() => "");
  if (path === parent || here === path || here.startsWith(path + sep)) return false;
  if ((await accessOf(parent)).access === "read-only") return false;
  await recoverGeneration(parent, basename(path));
  return isGenerationAlone(path);
}
