import { stat } from "node:fs/promises";
import { isMissing } from "../store/missing-file.ts";

/** Whether a folder is at its path; "unknown" when its disk does not answer, or does not say. */
export type FolderStanding = "there" | "gone" | "unknown";

/** What tests put in place of the system. */
export interface StandingParts {
  /** Whether a folder is at the path. It may hang. @throws what the system says */
  readonly isFolder: (path: string) => Promise<boolean>;
  /** Resolves when a look has taken too long. */
  readonly patience: () => Promise<unknown>;
}

const PATIENCE_MS = 300; // a disk that has to spin up takes longer, and is then unknown
// Node reads the disk in four threads: looks that hang on a dead network drive must leave it some.
const MOST_HANGING = 2;

const system: StandingParts = {
  isFolder: async (path) => (await stat(path)).isDirectory(),
  patience: () => new Promise((resolve) => setTimeout(resolve, PATIENCE_MS).unref()),
};

/**
 * Looks whether folders are still there: at each one's path only, never into it. Looks are made one after the
 * other and given up when they take long. While two that were given up still hang, no other is begun.
 * @returns the standings, in the order of the paths; never rejects
 */
export function createFolderLook({ isFolder, patience }: StandingParts = system) {
  let hanging = 0;

  async function standingOf(path: string): Promise<FolderStanding> {
    if (hanging >= MOST_HANGING) return "unknown";
    let [answered, hangs] = [false, false];
    const look = isFolder(path)
      .then(
        (is): FolderStanding => (is ? "there" : "gone"),
        (error: unknown): FolderStanding => (isMissing(error) ? "gone" : "unknown"),
      )
      .finally(() => {
        answered = true;
        if (hangs) hanging--;
      });
    const late = patience().then(() => null);
    const standing = await Promise.race([look, late]);
    if (standing !== null) return standing;
    hangs = !answered;
    if (hangs) hanging++;
    return "unknown";
  }

  return async (paths: readonly string[]): Promise<readonly FolderStanding[]> => {
    const standings: FolderStanding[] = [];
    for (const path of paths) standings.push(await standingOf(path));
    return standings;
  };
}
