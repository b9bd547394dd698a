import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import { functionAround } from "./seen-functions.mjs";

/*
 * Which tests run a place of the core. Each test file is run once on sources whose functions note themselves
 * (tools/seen-functions.mjs); what was noted is kept in out/mutate until a source or a test changes.
 */

/** What the answers hang on; test/mutate.config.ts takes its tests from the same folders. */
const FOLDERS = [
  "src/shared",
  "src/renderer",
  "test/shared",
  "test/published",
  "test/reference",
  "test/renderer",
];
/** A fault that is noticed is mostly noticed by a quick test; these are run first, together. */
const FIRST_MS = 8_000;

/** @typedef {{ readonly tests: readonly string[], readonly tookMs: number }} Stage */
/** @typedef {{ test: string, tookMs: number, seen: string[] }} Seen */

/**
 * @param {string} root
 * @returns {(file: string, position: number) => Stage[]} test files that run the place, as paths
 *   from the root, in two stages: its own tests and the quickest; the others. With the time they
 *   took when nothing was wrong.
 */
export function testsOf(root) {
  const all = seenBy(root).sort((a, b) => a.tookMs - b.tookMs);
  const sets = new Map(all.map(({ test, seen }) => [test, new Set(seen)]));
  return (file, position) => {
    const place = functionAround(file, readFileSync(join(root, file), "utf8"))(position);
    const own = file.replace(/^src\//, "test/").replace(/\.tsx?$/, ".test.ts");
    const running = all.filter(({ test }) => sets.get(test)?.has(place));
    /** @type {Seen[][]} */
    const stages = [running.filter(({ test }) => test === own), []];
    let sumMs = 0;
    for (const one of running.filter(({ test }) => test !== own)) {
      sumMs += one.tookMs;
      stages[sumMs < FIRST_MS ? 0 : 1]?.push(one);
    }
    return stages
      .filter((stage) => stage.length > 0)
      .map((stage) => ({
        tests: stage.map(({ test }) => test),
        tookMs: stage.reduce((sum, { tookMs }) => sum + tookMs, 0),
      }));
  };
}

/**
 * @param {string} root
 * @returns {Seen[]} what each test file runs, from the last run on the same files or from a new one
 */
function seenBy(root) {
  const folder = join(root, "out/mutate");
  const kept = join(folder, `seen-${keyOf(root)}.json`);
  if (!existsSync(kept)) {
    rmSync(folder, { recursive: true, force: true });
    const making = join(folder, "seen");
    mkdirSync(making, { recursive: true });
    console.log("Finding out which tests run which functions ...");
    const args = ["node_modules/vitest/vitest.mjs", "run", "--config", "test/mutate.config.ts"];
    const env = { ...process.env, LOFTMARK_SEEN: making };
    const { status } = spawnSync(process.execPath, args, { cwd: root, env, stdio: "inherit" });
    if (status !== 0) throw new Error("The tests fail without a fault, so they can tell nothing of faults.");
    const told = readdirSync(making).map((name) => JSON.parse(readFileSync(join(making, name), "utf8")));
    const found = told.map((one) => ({ ...one, test: relative(root, one.test).split(sep).join("/") }));
    writeFileSync(`${kept}.new`, JSON.stringify(found));
    renameSync(`${kept}.new`, kept);
  }
  return JSON.parse(readFileSync(kept, "utf8"));
}

/** @param {string} root  @returns {string} another one for other sources or tests */
function keyOf(root) {
  const hash = createHash("sha256");
  for (const folder of FOLDERS) {
    for (const name of readdirSync(join(root, folder), { recursive: true, encoding: "utf8" }).sort()) {
      if (/\.tsx?$/.test(name))
        hash.update(`${folder}/${name}\n`).update(readFileSync(join(root, folder, name)));
    }
  }
  return hash.digest("hex").slice(0, 16);
}
