import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { writeAtomically } from "../store/atomic-write.ts";
import type { FrameStore } from "./frame-store.ts";
import type { FrameRun } from "./pack-plan.ts";

/** What is known of one clip: its damaged frames, each with the reason, and the runs that were examined. */
export interface DamagePage {
  readonly damaged: Map<number, string>;
  readonly examined: FrameRun[];
}

/** Keeps what was found beside the clip's frames in the cache, so that a clip is examined once, not at every start. */
export interface DamageFile {
  /** Null when nothing is kept, or nothing that can be read: then the clip is examined again. */
  read(key: string): Promise<DamagePage | null>;
  /** A cache that cannot be written costs examining at the next start, nothing else. */
  write(key: string, page: DamagePage): Promise<void>;
}

const NAME = "damage.json";
const KeptSchema = z.strictObject({
  damaged: z
    .array(z.tuple([z.int().nonnegative(), z.string()]))
    .describe("frame, and why it cannot be shown"),
  examined: z.array(z.strictObject({ from: z.int().nonnegative(), to: z.int().nonnegative() })),
});

export function createDamageFile(store: Pick<FrameStore, "folderOf">): DamageFile {
  return {
    async read(key) {
      try {
        const text = await readFile(join(store.folderOf(key), NAME), "utf8");
        const { damaged, examined } = KeptSchema.parse(JSON.parse(text));
        return { damaged: new Map(damaged), examined };
      } catch {
        return null;
      }
    },
    async write(key, { damaged, examined }) {
      const text = JSON.stringify({ damaged: [...damaged], examined });
      await mkdir(store.folderOf(key), { recursive: true })
        .then(() => writeAtomically(join(store.folderOf(key), NAME), text))
        .catch(() => undefined);
    },
  };
}
