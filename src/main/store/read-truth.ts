import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { type Truth, TruthSchema } from "../../shared/results/results-schema.ts";

/**
 * What is true of the folder's made-up clips, as the example's `truth.json` says it; null for a folder
 * without one that can be read: most have none.
 */
export async function readTruth(folder: string): Promise<Truth | null> {
  try {
    return TruthSchema.parse(JSON.parse(await readFile(join(folder, "truth.json"), "utf8")));
  } catch {
    return null;
  }
}
