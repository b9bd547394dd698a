import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rm } from "node:fs/promises";
import { join } from "node:path";
import type { KeptMeasurement } from "../../shared/api/contract.ts";
import { writeAtomically } from "../store/atomic-write.ts";

/** Results of a folder's shots, so that a day opened again stands there at once. */
export interface KeptMeasurements {
  /** What this program kept; what another version of it did, or cannot be read, is removed. */
  list(): Promise<readonly KeptMeasurement[]>;
  /** Keeps the result of a shot in place of the one before. @throws when the disk refuses */
  keep(one: KeptMeasurement): Promise<void>;
}

interface Kept extends KeptMeasurement {
  readonly program: string;
}

/**
 * Keeps one result a shot in the cache directory, under the real path of the field folder. A result is as
 * good as the program that computed it: the file names that too.
 * @param program gives a digest of the code that measures; null where there is none to be had: then nothing
 *   is kept
 */
export function createKeptMeasurements(
  cacheDir: string,
  folder: string,
  program: () => Promise<string | null>,
): KeptMeasurements {
  const directory = join(cacheDir, "measured", shortHash(folder));
  const fileOf = (shotId: string) => join(directory, `${shortHash(shotId)}.json`);

  async function readOne(name: string, own: string): Promise<readonly KeptMeasurement[]> {
    try {
      const { program: made, ...kept } = JSON.parse(await readFile(join(directory, name), "utf8")) as Kept;
      if (made === own) return [kept];
    } catch {
      // damaged: as good as not there
    }
    await rm(join(directory, name), { force: true });
    return [];
  }

  return {
    async list() {
      const own = await program();
      if (own === null) return [];
      const names = await readdir(directory).catch(() => []); // none were ever kept
      const files = names.filter((name) => /^[0-9a-f]+\.json$/.test(name));
      return (await Promise.all(files.map((name) => readOne(name, own)))).flat();
    },
    async keep(one) {
      const own = await program();
      if (own === null) return;
      await mkdir(directory, { recursive: true });
      await writeAtomically(fileOf(one.shotId), JSON.stringify({ ...one, program: own } satisfies Kept));
    },
  };
}

function shortHash(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, 40);
}
