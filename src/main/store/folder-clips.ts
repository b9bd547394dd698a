import type { Dirent } from "node:fs";
import { readdir, realpath, stat } from "node:fs/promises";
import { extname, join } from "node:path";
import type { ClipEntry } from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { mustBeClipName } from "./clip-name.ts";
import { diskFault } from "./disk-fault.ts";
import { mustBeInside } from "./inside-folder.ts";
import { isMissing } from "./missing-file.ts";

/** What cameras and phones write, by the end of the name. */
const VIDEO_EXTENSIONS = new Set(
  ".3gp .avi .m2ts .m4v .mkv .mov .mp4 .mpeg .mpg .mts .mxf .ogv .ts .webm .wmv".split(" "),
);

/** A clip as found on disk: its entry and its absolute path, links resolved. */
export interface FoundClip extends ClipEntry {
  readonly path: string;
}

/**
 * The videos directly in a folder, in the order a person counts, those that cannot be used with the reason.
 */
export async function listClips(folder: string, platform?: string): Promise<readonly ClipEntry[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: unknown) => {
    throw diskFault(error, "The field folder cannot be read");
  });
  const videos = entries.filter(
    (entry) =>
      !entry.name.startsWith(".") &&
      (entry.isFile() || entry.isSymbolicLink()) &&
      VIDEO_EXTENSIONS.has(extname(entry.name).toLowerCase()),
  );
  const found = await Promise.all(videos.map((entry) => clipEntry(folder, entry, platform)));
  const order = new Intl.Collator("en", { numeric: true });
  return found.flat().sort((a, b) => order.compare(a.name, b.name) || (a.name < b.name ? -1 : 1));
}

/** @returns nothing for a file that went meanwhile */
async function clipEntry(folder: string, entry: Dirent, platform?: string): Promise<ClipEntry[]> {
  const { name } = entry;
  try {
    mustBeClipName(name, platform);
    const { bytes, modifiedMs } = await findClip(folder, name);
    return [{ name, bytes, modifiedMs }];
  } catch (error) {
    if (!(error instanceof FaultError)) throw error;
    const missing = error.fault.code === "no-such-clip";
    if (missing && entry.isSymbolicLink()) return [unusable(name, brokenLink(name))];
    if (missing && name.includes("\uFFFD")) return [unusable(name, unreadableName(name))];
    return missing ? [] : [unusable(name, error)];
  }
}

function unusable(name: string, { fault }: FaultError): ClipEntry {
  return { name, bytes: 0, modifiedMs: 0, fault };
}

/** A clip by a name that is checked already. @throws FaultError "no-such-clip" or "outside-folder" */
export async function findClip(folder: string, name: string): Promise<FoundClip> {
  const path = await realpath(join(folder, name)).catch((error: unknown) => {
    throw isMissing(error) ? missingClip(name) : diskFault(error, `The clip "${name}" cannot be opened`);
  });
  mustBeInside(folder, path, `The clip "${name}"`);
  const stats = await stat(path).catch((error: unknown) => {
    throw isMissing(error) ? missingClip(name) : diskFault(error, `The clip "${name}" cannot be opened`);
  });
  if (!stats.isFile()) throw missingClip(name);
  return { name, bytes: stats.size, modifiedMs: stats.mtimeMs, path };
}

function brokenLink(name: string): FaultError {
  return new FaultError(
    "broken-link",
    `"${name}" is a link that leads to no file.`,
    "Copy the clip itself into the field folder.",
  );
}

function unreadableName(name: string): FaultError {
  return new FaultError(
    "bad-clip-name",
    `The name of "${name}" is not stored as text that can be read.`,
    "Rename the clip with plain letters and digits.",
  );
}

function missingClip(name: string): FaultError {
  return new FaultError(
    "no-such-clip",
    `There is no clip "${name}" in the field folder.`,
    "Copy the clip into the field folder under this name, or choose another clip for the shot.",
  );
}
