import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import { allMutants } from "./mutants.mjs";
import { testsOf } from "./tests-of.mjs";

/*
 * npm run mutate [-- --sample N] [-- --seed N] [-- --only PATH] [-- --kind KIND] [-- --quick]: puts small
 * faults into the core, one at a time, and says how many the tests notice. Every fault that none notices is
 * printed: it asks for a test, or changes nothing that can be seen. With --quick only each file's own tests
 * and the quickest others are run: the faults that they miss are candidates, and their share is no score.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
/** A fault may make a loop endless: far more than the tests take without one is no ending. */
const limitMs = (/** @type {number} */ tookMs) => 120_000 + 10 * tookMs;

const { values: asked } = parseArgs({
  options: {
    sample: { type: "string", default: "200" },
    seed: { type: "string", default: "1" },
    only: { type: "string", default: "src/shared" },
    kind: { type: "string" },
    quick: { type: "boolean", default: false },
  },
});
const sample = Number(asked.sample);
const seed = Number(asked.seed);
if (!Number.isInteger(sample) || sample < 1 || !Number.isInteger(seed)) {
  console.error("--sample takes a whole number from 1, --seed a whole number.");
  process.exit(2);
}

const possible = allMutants(ROOT, "src/shared").filter(
  ({ file, kind }) => file.startsWith(asked.only) && (asked.kind === undefined || kind === asked.kind),
);
const chosen = drawn(possible, sample, seed);
console.log(`${chosen.length} of ${possible.length} possible faults, seed ${seed}`);

const stagesOf = testsOf(ROOT);
/** @type {Map<string, { caught: number, all: number }>} */
const scores = new Map();
const survivors = [];
for (const [i, mutant] of chosen.entries()) {
  const end = await fateOf(mutant);
  const score = scores.get(mutant.kind) ?? { caught: 0, all: 0 };
  scores.set(mutant.kind, { caught: score.caught + (end === "survived" ? 0 : 1), all: score.all + 1 });
  const line = `${end.padEnd(9)} ${describe(mutant)}`;
  if (end === "survived") survivors.push(line);
  console.log(`${String(i + 1).padStart(4)} ${line}`);
}

console.log(`\nNot noticed by any test (${survivors.length}):`);
for (const line of survivors) console.log(`  ${line}`);
console.log("\nNoticed:");
for (const [kind, score] of [...scores].sort()) console.log(`  ${kind.padEnd(11)} ${share(score)}`);
console.log(`  all         ${share({ caught: chosen.length - survivors.length, all: chosen.length })}`);

/**
 * @param {import("./mutants.mjs").Mutant} mutant
 * @returns {Promise<"noticed" | "endless" | "survived">}
 */
async function fateOf(mutant) {
  for (const stage of stagesOf(mutant.file, mutant.start).slice(0, asked.quick ? 1 : undefined)) {
    const end = await run(stage, mutant);
    if (end !== "passed") return end === "failed" ? "noticed" : "endless";
  }
  return "survived";
}

/**
 * Runs test files on the source with a fault in it.
 * @param {import("./tests-of.mjs").Stage} stage  @param {import("./mutants.mjs").Mutant} mutant
 * @returns {Promise<"passed" | "failed" | "stopped">}
 */
function run({ tests, tookMs }, mutant) {
  return new Promise((resolve) => {
    const args = ["node_modules/vitest/vitest.mjs", "run", "--config", "test/mutate.config.ts", ...tests];
    const env = {
      ...process.env,
      LOFTMARK_MUTANT: JSON.stringify(mutant),
      LOFTMARK_ORDER: tests.join("\n"),
    };
    const child = spawn(process.execPath, args, { cwd: ROOT, env, stdio: "ignore" });
    let stopped = false;
    const timer = setTimeout(() => {
      stopped = true;
      child.kill("SIGKILL"); // its tests run in a thread of its own, which ends with it
    }, limitMs(tookMs));
    child.on("exit", (code) => {
      clearTimeout(timer);
      resolve(stopped ? "stopped" : code === 0 ? "passed" : "failed");
    });
  });
}

/**
 * @template T
 * @param {readonly T[]} all  @param {number} count  @param {number} seed
 * @returns {T[]} so many of them, each with the same chance, in a drawn order
 */
function drawn(all, count, seed) {
  const chance = xoroshiro128plus(seed);
  const left = [...all];
  for (let i = 0; i < Math.min(count, left.length); i++) {
    const j = i + Math.floor((((chance.next() >>> 0) + 0.5) / 2 ** 32) * (left.length - i));
    [left[i], left[j]] = [/** @type {T} */ (left[j]), /** @type {T} */ (left[i])];
  }
  return left.slice(0, count);
}

/** @param {import("./mutants.mjs").Mutant} mutant  @returns {string} place, and the line before and after */
function describe({ file, start, end, text, kind }) {
  const source = readFileSync(join(ROOT, file), "utf8");
  const from = source.lastIndexOf("\n", start - 1) + 1;
  const to = source.indexOf("\n", end);
  const row = source.slice(0, start).split("\n").length;
  const before = source.slice(from, to).trim();
  const after = (source.slice(from, start) + text + source.slice(end, to)).trim();
  return `${kind} ${file}:${row}\n       - ${before}\n       + ${after}`;
}

/** @param {{ caught: number, all: number }} score */
function share({ caught, all }) {
  return `${caught} of ${all} (${Math.round((100 * caught) / Math.max(all, 1))} %)`;
}
