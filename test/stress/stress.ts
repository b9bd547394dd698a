import { parseArgs } from "node:util";
import { run as crash } from "./crash.ts";
import { run as damagedClips } from "./damaged-clips.ts";
import { run as lockKills } from "./lock-kills.ts";
import { run as sweep } from "./sweep.ts";
import { run as twoTabs } from "./two-tabs.ts";
import { run as twoWriters } from "./two-writers.ts";
import { run as writeKills } from "./write-kills.ts";
import { run as writeUpKills } from "./write-up-kills.ts";

interface StressOptions {
  readonly seed: number;
  readonly long: boolean;
  /** Documents that the sweep passes over, because an earlier run has tried them. */
  readonly from: number;
  out(text: string): void;
}
type Part = (options: StressOptions) => Promise<boolean>;

/** The parts by the name that --only takes, the short ones first. */
const PARTS: Readonly<Record<string, Part>> = {
  "write-kills": writeKills,
  "write-up-kills": writeUpKills,
  "lock-kills": lockKills,
  "two-writers": twoWriters,
  "two-tabs": twoTabs,
  "damaged-clips": damagedClips,
  crash,
  sweep,
};
const SEED = 2026;
const USAGE = `npm run stress [-- --only PART]... [--seed N] [--short] [--from N]\nParts: ${Object.keys(PARTS).join(", ")}\n`;

const out = (text: string) => void process.stdout.write(text);
const asked = options();
if (asked === null) {
  process.stderr.write(USAGE);
  process.exitCode = 1;
} else if (!(await runParts(asked))) process.exitCode = 1;

function options() {
  try {
    const { values } = parseArgs({
      options: {
        only: { type: "string", multiple: true },
        seed: { type: "string", default: String(SEED) },
        short: { type: "boolean", default: false },
        from: { type: "string", default: "0" },
      },
    });
    const only = values.only ?? Object.keys(PARTS);
    const [seed, from] = [Number(values.seed), Number(values.from)];
    const known = only.every((name) => Object.hasOwn(PARTS, name));
    if (!known || !Number.isSafeInteger(seed) || !Number.isSafeInteger(from) || from < 0) return null;
    return { only, seed, from, long: !values.short };
  } catch {
    return null; // an option that there is not
  }
}

/** @returns whether every part held */
async function runParts({
  only,
  seed,
  from,
  long,
}: NonNullable<ReturnType<typeof options>>): Promise<boolean> {
  const lines: string[] = [];
  let held = true;
  for (const name of only) {
    const fromMs = performance.now();
    const ok = await PARTS[name]!({ seed, from, long, out }).catch((error: unknown) => {
      out(`${error instanceof Error ? error.stack : String(error)}\n`);
      return false;
    });
    held &&= ok;
    const seconds = ((performance.now() - fromMs) / 1000).toFixed(0);
    lines.push(`${ok ? "held  " : "FAILED"}  ${name.padEnd(16)} ${seconds} s\n`);
    out(lines.at(-1)!);
  }
  if (only.length > 1) out(`\nSeed ${seed}, ${long ? "long" : "short"}:\n${lines.join("")}`);
  return held;
}
