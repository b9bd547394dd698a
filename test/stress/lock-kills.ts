import { mkdtemp, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { withFolderLock } from "../../src/main/store/folder-lock.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { bundleProgram } from "../support/bundle-program.ts";
import { type NodeRun, runNode } from "../support/run-node.ts";

const PROCESSES = 4;
const KILLS = { long: 300, short: 12 };
const ENDLESS = "1000000";
const LONGEST_PAUSE_MS = 15; // a few turns at the lock, so that a kill comes anywhere in one

export interface CountedUnderLock {
  readonly kills: number;
  /** The numbers that the processes said they had counted to, in the order heard. */
  readonly told: readonly number[];
  /** What the file holds in the end. */
  readonly counted: number;
}

/**
 * Lets processes count in one file under the folder's lock, kills them with SIGKILL at random moments and
 * starts others in their place. Ends only when the lock can still be taken.
 */
export async function countWithKills(
  program: string,
  folder: string,
  { seed, kills }: { readonly seed: number; readonly kills: number },
): Promise<CountedUnderLock> {
  await writeFile(join(folder, "count"), "000000000\n");
  const chance = createChance(seed);
  const start = () => runNode(program, [folder, ENDLESS]);
  const all: NodeRun[] = Array.from({ length: PROCESSES }, start);
  const running = [...all];
  for (let killed = 0; killed < kills; killed++) {
    const index = Math.floor(chance.uniform() * PROCESSES);
    await running[index]!.line(/^counted/);
    await new Promise((resolve) => setTimeout(resolve, chance.uniform() * LONGEST_PAUSE_MS));
    running[index]!.child.kill("SIGKILL");
    const next = start();
    [running[index]] = [next];
    all.push(next);
  }
  for (const { child } of running) child.kill("SIGKILL");
  const ends = await Promise.all(all.map(({ end }) => end));
  const broken = ends.find(({ signal }) => signal !== "SIGKILL");
  if (broken !== undefined) throw new Error(`a process ended by itself: ${broken.err}`);
  const counted = await withFolderLock(
    folder,
    async () => Number(await readFile(join(folder, "count"), "latin1")),
    { waitMs: Number.POSITIVE_INFINITY },
  );
  const told = all.flatMap(({ lines }) => lines.map((line) => Number(line.replace("counted ", ""))));
  return { kills: kills + PROCESSES, told, counted };
}

/**
 * What is wrong with a count: a number told twice was counted by two at once; only a
 * kill may leave one untold.
 */
export function lockFailures({ kills, told, counted }: CountedUnderLock): readonly string[] {
  const untold = counted - new Set(told).size;
  return [
    ...(new Set(told).size === told.length ? [] : ["two processes counted to the same number"]),
    ...(Math.max(0, ...told) <= counted ? [] : ["a number was lost"]),
    ...(untold >= 0 && untold <= kills ? [] : [`${untold} were counted and not told, with ${kills} kills`]),
  ];
}

/** Kills processes that count under one lock. @returns whether every number that was told was counted once */
export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}): Promise<boolean> {
  const program = await bundleProgram("test/stress/count-under-lock.ts");
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark stress ")));
  try {
    const kills = options.long ? KILLS.long : KILLS.short;
    const outcome = await countWithKills(program.path, folder, { seed: options.seed, kills });
    const failures = lockFailures(outcome);
    const { told, counted } = outcome;
    options.out(
      `lock: ${outcome.kills} kills, ${told.length} told, ${counted} counted, ${counted - told.length} not told\n`,
    );
    for (const failure of failures) options.out(`  ${failure}\n`);
    return failures.length === 0;
  } finally {
    await program.remove();
    await rm(folder, { recursive: true, force: true });
  }
}
