import type { MediaOptions } from "../media/media.ts";
import type { JobParts } from "./job-parts.ts";
import { measureShots } from "./measure-shots.ts";

const MEASURING = 0.9; // share of the work
const PATIENCE_MS = 300_000; // figures and tables of a long day take seconds

/**
 * Measures every shot of the folder's session and writes the write-up into it.
 * Stopped, it has written nothing.
 * @returns the paths of the files, inside the folder
 */
export async function writeUpFolder(
  { folder, sessionFile, factsOf, workers, log }: JobParts,
  { signal, onProgress }: Required<MediaOptions>,
): Promise<readonly string[]> {
  const { session } = await sessionFile.read();
  const { results, facts } = await measureShots(session, folder, factsOf, workers, {
    signal,
    log,
    onProgress: ({ fraction, doing }) => onProgress({ fraction: MEASURING * fraction, doing }),
  });
  onProgress({ fraction: MEASURING, doing: "Writing tables, figures and the report" });
  const task = { kind: "write-up", results, facts, madeAt: new Date().toISOString() } as const;
  const files = await workers.run(session, task, { signal, patienceMs: PATIENCE_MS });
  signal.throwIfAborted();
  return folder.writeUp(files);
}
