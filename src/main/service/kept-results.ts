import { createHash } from "node:crypto";
import { mkdir, readdir, readFile, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { type JobReply, JobReplySchema } from "../../shared/api/job-contract.ts";
import { writeAtomically } from "../store/atomic-write.ts";

const MOST = 20; // results of one folder; whoever starts more of them without looking does not miss the first
const LONGEST_MS = 30 * 24 * 3600_000; // by then the marks have been made otherwise

/** Results of a folder's jobs that wait on the disk for whoever opens the folder next. */
export interface KeptResults {
  /**
   * What waits, the oldest first. What is too old or too many is removed; what cannot be read is left out.
   */
  list(): Promise<readonly JobReply[]>;
  /** Keeps the result of a job that ended. @throws when the disk refuses */
  keep(reply: JobReply): Promise<void>;
  has(id: string): Promise<boolean>;
  remove(id: string): Promise<void>;
}

/**
 * Keeps results in the cache directory, a file each, under the real path of the field folder.
 * @param nowMs the time of day, ms since 1970
 */
export function createKeptResults(cacheDir: string, folder: string, nowMs: () => number): KeptResults {
  const key = createHash("sha256").update(folder).digest("hex").slice(0, 40);
  const directory = join(cacheDir, "results", key);
  const fileOf = (id: string) => join(directory, `${id}.json`);

  async function all(): Promise<readonly JobReply[]> {
    const names = await readdir(directory).catch(() => []); // none were ever kept
    const read = await Promise.all(names.filter((name) => /^[\w-]+\.json$/.test(name)).map(readOne));
    return read.flat().sort((a, b) => endedMs(a) - endedMs(b));
  }

  async function readOne(name: string): Promise<readonly JobReply[]> {
    try {
      const reply = JobReplySchema.parse(JSON.parse(await readFile(join(directory, name), "utf8")));
      return [reply];
    } catch {
      // Of another version, or damaged: nobody can use it.
      await rm(join(directory, name), { force: true });
      return [];
    }
  }

  async function withinBounds(replies: readonly JobReply[]): Promise<readonly JobReply[]> {
    const young = replies.filter((one) => nowMs() - endedMs(one) < LONGEST_MS);
    const kept = young.slice(-MOST);
    for (const { id } of replies) {
      if (!kept.some((one) => one.id === id)) await rm(fileOf(id), { force: true });
    }
    return kept;
  }

  return {
    list: async () => withinBounds(await all()),
    async keep(reply) {
      await mkdir(directory, { recursive: true });
      await writeAtomically(fileOf(reply.id), JSON.stringify(reply));
      await withinBounds(await all());
    },
    has: (id) =>
      stat(fileOf(id)).then(
        () => true,
        () => false,
      ),
    remove: (id) => rm(fileOf(id), { force: true }),
  };
}

function endedMs({ endedAt }: JobReply): number {
  return endedAt === null ? 0 : Date.parse(endedAt);
}
