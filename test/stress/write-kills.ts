import { mkdtemp, readdir, readFile, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { sweepLeftovers } from "../../src/main/store/sweep-leftovers.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { bundleProgram } from "../support/bundle-program.ts";
import { runNode } from "../support/run-node.ts";

const KILLS = { long: 50, short: 4 };
const KILOBYTES = 512; // long enough in writing that a kill often comes in the middle
const LONGEST_PAUSE_MS = 40;

export interface KilledWrites {
  readonly kills: number;
  /** Kills that left a half-written file beside the document. */
  readonly leftovers: number;
  readonly failures: readonly string[];
}

/**
 * Kills a program that writes one file again and again, at random moments. After each kill the file must be
 * whole, one that was told as written or the one after it, and sweeping must leave nothing else.
 */
export async function killWrites(
  program: string,
  folder: string,
  { seed, kills }: { readonly seed: number; readonly kills: number },
): Promise<KilledWrites> {
  const chance = createChance(seed);
  const failures: string[] = [];
  let leftovers = 0;
  for (let kill = 0; kill < kills; kill++) {
    const run = runNode(program, [folder, String(KILOBYTES)]);
    await run.line(/^wrote/);
    await new Promise((resolve) => setTimeout(resolve, chance.uniform() * LONGEST_PAUSE_MS));
    run.child.kill("SIGKILL");
    await run.end;
    const told = Number(run.lines.at(-1)!.replace("wrote ", ""));
    const text = await readFile(join(folder, "document"), "latin1");
    const whole = [told, (told + 1) % 10].some((digit) => text === String(digit).repeat(1024 * KILOBYTES));
    if (!whole) failures.push(`kill ${kill}: the file is not whole, or older than it was told to be`);
    leftovers += (await readdir(folder)).length - 1;
    await sweepLeftovers(folder);
    const left = await readdir(folder);
    if (left.length !== 1) failures.push(`kill ${kill}: ${left.join(", ")} are left after sweeping`);
  }
  return { kills, leftovers, failures };
}

/**
 * Kills writes of a file at random moments. @returns whether it was whole each time and nothing stayed behind
 */
export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}): Promise<boolean> {
  const program = await bundleProgram("test/stress/write-on-and-on.ts");
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark stress ")));
  try {
    const kills = options.long ? KILLS.long : KILLS.short;
    const { leftovers, failures } = await killWrites(program.path, folder, { seed: options.seed, kills });
    options.out(
      `writes: ${kills} kills, ${leftovers} left a half-written file, ${failures.length} failures\n`,
    );
    for (const failure of failures) options.out(`  ${failure}\n`);
    return failures.length === 0;
  } finally {
    await program.remove();
    await rm(folder, { recursive: true, force: true });
  }
}
