import { mkdtemp, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { sampleSession } from "../shared/session/sample-session.ts";
import { bundleProgram } from "../support/bundle-program.ts";
import { runNode } from "../support/run-node.ts";

const ROUNDS = { long: { together: 300, staggered: 210 }, short: { together: 12, staggered: 8 } };
const LONGEST_STAGGER_MS = 30; // longer than a save takes

export interface TwoWriters {
  /** Words of saves that were acknowledged. */
  readonly acknowledged: readonly string[];
  /** Acknowledged words that the document does not hold. */
  readonly lost: readonly string[];
  /**
   * How often a save was refused because the other program had saved first; without any, nothing was tried.
   */
  readonly refusals: number;
}

/**
 * Two programs change one session again and again: first both at the same moment, then one
 * a little after the other.
 * @param program the bundle of save-when-told.ts  @param folder an empty folder
 */
export async function saveFromTwo(
  program: string,
  folder: string,
  rounds: { readonly together: number; readonly staggered: number },
  seed: number,
): Promise<TwoWriters> {
  const file = createSessionFile(await openFieldFolder(folder));
  await file.save(sampleSession(), "none");
  const chance = createChance(seed);
  const writers = ["a", "b"].map((name) => ({ name, run: runNode(program, [folder]) }));
  await Promise.all(writers.map(({ run }) => run.line(/^ready/)));
  for (let round = 0; round < rounds.together + rounds.staggered; round++) {
    const staggers = round >= rounds.together;
    for (const { name, run } of writers) {
      const delayMs = staggers && name === "b" ? chance.uniform() * LONGEST_STAGGER_MS : 0;
      run.say(`${name}${round} ${delayMs}\n`);
    }
    // Both read again before the next round, so that both change the same revision.
    await Promise.all(writers.map(({ name, run }) => run.line(new RegExp(`^read ${name}${round}$`))));
  }
  for (const { run } of writers) run.say(null);
  const ends = await Promise.all(writers.map(({ run }) => run.end));
  const broken = ends.find(({ code }) => code !== 0);
  if (broken !== undefined) throw new Error(`a writer failed: ${broken.err}`);
  const saved = writers.flatMap(({ run }) => run.lines.filter((line) => line.startsWith("saved ")));
  const acknowledged = saved.map((line) => line.split(" ")[1]!);
  const { session } = await file.read();
  const kept = new Set(session.shots[0]!.notes.split(" "));
  return {
    acknowledged,
    lost: acknowledged.filter((word) => !kept.has(word)),
    refusals: saved.reduce((sum, line) => sum + Number(line.split(" ")[2]), 0),
  };
}

/**
 * Two programs save one session 300 times together and 210 times staggered.
 * @returns whether no update was lost
 */
export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}): Promise<boolean> {
  const program = await bundleProgram("test/stress/save-when-told.ts");
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark stress ")));
  try {
    const rounds = options.long ? ROUNDS.long : ROUNDS.short;
    const { acknowledged, lost, refusals } = await saveFromTwo(program.path, folder, rounds, options.seed);
    options.out(
      `two writers: ${rounds.together} rounds together and ${rounds.staggered} staggered, ` +
        `${acknowledged.length} saves acknowledged, ${refusals} refused first, ${lost.length} lost\n`,
    );
    return lost.length === 0 && acknowledged.length === 2 * (rounds.together + rounds.staggered);
  } finally {
    await program.remove();
    await rm(folder, { recursive: true, force: true });
  }
}
