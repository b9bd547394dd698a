import { spawnSync } from "node:child_process";
import { existsSync, readFileSync, rmSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildCore } from "./build-core.mjs";
import { buildIfStale } from "./build-if-stale.mjs";
import { ensurePrograms } from "./setup.mjs";

/*
 * npm test: finds or installs the programs the tests need, then types, lint, build and every test. All
 * steps run even when an earlier one fails, so that one run tells everything; the exit status is 0 only
 * when all of them passed.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const REPORT = join(ROOT, "out", "test-report.json");

if (!ensurePrograms(["ffmpeg", "ffprobe", "chromium"]).ok) process.exit(1);

const isCoreBuilt = await buildCore();
const failed = [
  isCoreBuilt ? null : "core",
  step("types", ["node_modules/typescript/bin/tsc", "-b"]),
  step("lint", [
    "node_modules/@biomejs/biome/bin/biome",
    "ci",
    ...(process.stdout.isTTY ? [] : ["--colors=off"]),
    ".",
  ]),
  buildIfStale() ? null : "build",
  tests(process.argv.slice(2)),
].filter((name) => name !== null);

console.log(summary());
if (failed.length > 0) console.log(`Failed: ${failed.join(", ")}.`);
process.exit(failed.length > 0 ? 1 : 0);

/**
 * Runs one step with this Node.
 * @param {string} name
 * @param {string[]} args
 * @param {Record<string, string>} [env] added to this process's own
 * @returns {string | null} the name when it failed
 */
function step(name, args, env = {}) {
  console.log(`— ${name}`);
  const { status } = spawnSync(process.execPath, args, {
    cwd: ROOT,
    stdio: "inherit",
    env: { ...process.env, ...env },
  });
  return status === 0 ? null : name;
}

/**
 * Runs the tests, on the built core where it could be built; see test/built-core.ts.
 * @param {string[]} filters names of test files, all by default
 * @returns {string | null}
 */
function tests(filters) {
  rmSync(REPORT, { force: true });
  const reporters = ["--reporter=default", "--reporter=json", `--outputFile.json=${REPORT}`];
  return step(
    "tests",
    ["node_modules/vitest/vitest.mjs", "run", "--config", "test/vitest.config.ts", ...reporters, ...filters],
    isCoreBuilt ? { LOFTMARK_CORE: "built" } : {},
  );
}

/** @returns {string} "N passed, N failed, N skipped" */
function summary() {
  if (!existsSync(REPORT)) return "The tests did not run to their end.";
  const report = JSON.parse(readFileSync(REPORT, "utf8"));
  const skipped = report.numPendingTests + report.numTodoTests;
  return `${report.numPassedTests} passed, ${report.numFailedTests} failed, ${skipped} skipped`;
}
