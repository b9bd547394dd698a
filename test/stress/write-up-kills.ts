import { mkdir, mkdtemp, readdir, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { bundleProgram } from "../support/bundle-program.ts";
import { runNode } from "../support/run-node.ts";

const KILLS = { long: 60, short: 4 };
const LONGEST_PAUSE_MS = 60; // a few generations

/** What the person keeps among the files of the write-up. */
const OWN = { "notes.txt": "mine", "figures/mine.svg": "mine too", "photos/launch.jpg": "and mine" };

export interface KilledWriteUps {
  readonly kills: number;
  /** Kills after which the folder was not yet as it should be, so that opening it had something to do. */
  readonly recovered: number;
  readonly failures: readonly string[];
}

/**
 * Kills a program that writes write-ups, at random moments. Opened again after each kill, the folder
 * must hold one generation whole, the last that was told or the one after it, everything that is the
 * person's, and nothing else.
 */
export async function killWriteUps(
  program: string,
  folder: string,
  { seed, kills }: { readonly seed: number; readonly kills: number },
): Promise<KilledWriteUps> {
  const chance = createChance(seed);
  const failures: string[] = [];
  let [recovered, next] = [0, 1];
  for (const [name, text] of Object.entries(OWN)) {
    await mkdir(join(folder, "write-up", name, ".."), { recursive: true });
    await writeFile(join(folder, "write-up", name), text);
  }
  for (let kill = 0; kill < kills; kill++) {
    const run = runNode(program, [folder, String(next)]);
    await run.line(/^wrote/);
    await new Promise((resolve) => setTimeout(resolve, chance.uniform() * LONGEST_PAUSE_MS));
    run.child.kill("SIGKILL");
    await run.end;
    const told = Number(run.lines.at(-1)!.replace("wrote ", ""));
    if ((await readdir(folder)).join() !== "write-up") recovered++;
    await (await openFieldFolder(folder)).access();
    const held = await contentOf(folder);
    const numbers = [told, told + 1].filter((number) => same(held, expected(number)));
    if (numbers.length === 0) failures.push(`kill ${kill}, ${told} told: ${JSON.stringify(held)}`);
    next = told + 2;
  }
  return { kills, recovered, failures };
}

function expected(number: number): Readonly<Record<string, string>> {
  const names = ["report.html", "results.json", "marks.csv", "figures/a.svg", "figures/b.svg"];
  if (number % 2 === 0) names.push("figures/c.svg");
  const ours = Object.fromEntries(names.map((name) => [`write-up/${name}`, `generation ${number}`]));
  const own = Object.fromEntries(Object.entries(OWN).map(([name, text]) => [`write-up/${name}`, text]));
  return { ...ours, ...own };
}

/** Every file below the folder with its text, but the list of the generation. */
async function contentOf(folder: string): Promise<Readonly<Record<string, string>>> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = entries
    .filter((entry) => !entry.isDirectory() && entry.name !== ".loftmark-write-up.json")
    .map((entry) => join(entry.parentPath, entry.name));
  const pairs = await Promise.all(
    files.map(async (file) => [file.slice(folder.length + 1), await readFile(file, "utf8")] as const),
  );
  return Object.fromEntries(pairs);
}

function same(a: Readonly<Record<string, string>>, b: Readonly<Record<string, string>>): boolean {
  const sorted = (of: Readonly<Record<string, string>>) => JSON.stringify(Object.entries(of).sort());
  return sorted(a) === sorted(b);
}

/** Kills write-ups at random moments. @returns whether one whole generation was there after each */
export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}): Promise<boolean> {
  const program = await bundleProgram("test/stress/write-up-on-and-on.ts");
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark stress ")));
  try {
    const kills = options.long ? KILLS.long : KILLS.short;
    const { recovered, failures } = await killWriteUps(program.path, folder, { seed: options.seed, kills });
    options.out(`write-ups: ${kills} kills, ${recovered} with work left over, ${failures.length} failures\n`);
    for (const failure of failures) options.out(`  ${failure}\n`);
    return failures.length === 0;
  } finally {
    await program.remove();
    await rm(folder, { recursive: true, force: true });
  }
}
