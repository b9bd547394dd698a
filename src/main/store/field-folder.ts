import type { Stats } from "node:fs";
import { lstat, mkdir, readdir, realpath, stat } from "node:fs/promises";
import { basename, dirname, extname, join, sep } from "node:path";
import type { ClipEntry } from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { writeAtomically } from "./atomic-write.ts";
import { diskFault } from "./disk-fault.ts";

/** What cameras and phones write, by the end of the name. */
const VIDEO_EXTENSIONS = new Set(
  ".3gp .avi .m2ts .m4v .mkv .mov .mp4 .mpeg .mpg .mts .mxf .ogv .ts .webm .wmv".split(" "),
);

const WRITE_UP = "write-up";

/** A clip as found on disk: its entry and its absolute path, links resolved. */
export interface FoundClip extends ClipEntry {
  readonly path: string;
}

/** The one folder that a service may read and write. */
export interface FieldFolder {
  /** Absolute, links resolved. */
  readonly path: string;
  readonly name: string;
  /** The videos directly in the folder, by name in the order a person counts (shot 2 before shot 10). */
  listClips(): Promise<readonly ClipEntry[]>;
  /** One clip by its plain file name. @throws FaultError "bad-clip-name", "no-such-clip" or "outside-folder" */
  findClip(name: string): Promise<FoundClip>;
  /**
   * Writes files into `write-up/` in the folder, each whole or not at all; a name may have folders before it ("figures/a.svg").
   * @returns their paths relative to the folder, with forward slashes  @throws FaultError when one cannot be written
   */
  writeUp(files: readonly { readonly name: string; readonly text: string }[]): Promise<readonly string[]>;
}

/** Opens a folder as the field folder. @throws FaultError "no-such-folder" or "not-a-folder" */
export async function openFieldFolder(given: string): Promise<FieldFolder> {
  const path = await realpath(given).catch((error: unknown) => {
    throw isMissing(error)
      ? new FaultError(
          "no-such-folder",
          `There is no folder "${given}".`,
          "Give the path of the folder that holds your clips.",
        )
      : diskFault(error, `The folder "${given}" cannot be opened`);
  });
  if (!(await stat(path)).isDirectory()) {
    throw new FaultError(
      "not-a-folder",
      `"${given}" is a file, not a folder.`,
      "Give the folder that holds your clips, not one of the clips.",
    );
  }
  return {
    path,
    name: basename(path) || path,
    listClips: () => listClips(path),
    findClip: (name) => findClip(path, name),
    writeUp: (files) => writeUp(path, files),
  };
}

/**
 * Refuses every name that is not the plain name of a visible file: separators of any system, "..", control
 * characters, drive letters and streams ("C:x", "a.mp4:b").
 * @throws FaultError "bad-clip-name"
 */
function mustBePlainName(name: string): void {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is refused
  if (name === "" || name.startsWith(".") || name.length > 255 || /[/\\:\u0000-\u001f\u007f]/.test(name)) {
    throw new FaultError(
      "bad-clip-name",
      `"${name.slice(0, 80)}" is not the plain name of a file in the field folder.`,
      "Name a clip by its file name alone, such as shot-3.mp4, and keep it directly in the field folder.",
    );
  }
}

async function listClips(folder: string): Promise<readonly ClipEntry[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: unknown) => {
    throw diskFault(error, "The field folder cannot be read");
  });
  const names = entries
    .filter((entry) => !entry.name.startsWith(".") && (entry.isFile() || entry.isSymbolicLink()))
    .map((entry) => entry.name)
    .filter((name) => VIDEO_EXTENSIONS.has(extname(name).toLowerCase()));
  const found = await Promise.all(
    names.map(async (name) => {
      try {
        const { bytes, modifiedMs } = await findClip(folder, name);
        return [{ name, bytes, modifiedMs }];
      } catch (error) {
        // A link out of the folder, a name this house does not take, or a file gone meanwhile: not a clip of this folder.
        if (error instanceof FaultError) return [];
        throw error;
      }
    }),
  );
  const order = new Intl.Collator("en", { numeric: true });
  return found.flat().sort((a, b) => order.compare(a.name, b.name) || (a.name < b.name ? -1 : 1));
}

async function findClip(folder: string, name: string): Promise<FoundClip> {
  mustBePlainName(name);
  const path = await realpath(join(folder, name)).catch((error: unknown) => {
    throw isMissing(error) ? missingClip(name) : diskFault(error, `The clip "${name}" cannot be opened`);
  });
  mustBeInside(folder, path, `The clip "${name}"`);
  const stats = await stat(path);
  if (!stats.isFile()) throw missingClip(name);
  return { name, bytes: stats.size, modifiedMs: stats.mtimeMs, path };
}

async function writeUp(
  folder: string,
  files: readonly { readonly name: string; readonly text: string }[],
): Promise<readonly string[]> {
  await writeFilesInto(join(folder, WRITE_UP), files, folder);
  return files.map((file) => `${WRITE_UP}/${file.name}`);
}

/**
 * Writes files into a directory, made if missing, each whole or not at all. Names are plain, or have plain folders
 * before them, with forward slashes.
 * @param within the real path that nothing may be written outside of, links resolved; by default the directory itself
 * @throws FaultError "bad-clip-name", "outside-folder", or when the disk refuses
 */
export async function writeFilesInto(
  directory: string,
  files: readonly { readonly name: string; readonly text: string }[],
  within?: string,
): Promise<void> {
  for (const file of files) for (const step of file.name.split("/")) mustBePlainName(step);
  try {
    await mkdir(directory, { recursive: true });
    const root = await realpath(directory);
    if (within !== undefined) mustBeInside(within, root, "The folder write-up");
    for (const file of files) {
      const path = join(root, ...file.name.split("/"));
      await mkdir(dirname(path), { recursive: true });
      const parent = await realpath(dirname(path));
      if (parent !== root) mustBeInside(within ?? root, parent, `The folder of ${file.name}`);
      await writeAtomically(join(parent, basename(path)), file.text);
    }
  } catch (error) {
    throw diskFault(error, `The write-up could not be written into "${basename(directory)}"`);
  }
}

/** @throws FaultError "outside-folder" when the real path is not below the folder */
function mustBeInside(folder: string, realPath: string, what: string): void {
  const root = folder.endsWith(sep) ? folder : folder + sep;
  if (!realPath.startsWith(root)) {
    throw new FaultError(
      "outside-folder",
      `${what} is a link that leads out of the field folder.`,
      "Copy the file or folder itself into the field folder; Loftmark touches nothing outside it.",
    );
  }
}

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

function missingClip(name: string): FaultError {
  return new FaultError(
    "no-such-clip",
    `There is no clip "${name}" in the field folder.`,
    "Copy the clip into the field folder under this name, or choose another clip for the shot.",
  );
}
