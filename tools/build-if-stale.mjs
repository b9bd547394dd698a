import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const SOURCES = [
  "src",
  "docs/guide.md", // shown in the window
  "tools/find-program.mjs",
  "electron.vite.config.ts",
  "package.json",
  "package-lock.json",
];
const RESULTS = [
  "out/main/cli.js",
  "out/main/electron.js",
  "out/main/heavy-worker.js",
  "out/preload/preload.cjs",
  "out/renderer/index.html",
];
const STAMP = "out/built-at.txt";

/**
 * Builds out/ when any source is newer than the last build, or a part of out/ is missing. What the build says
 * goes to standard error, so that a program's own output stays clean.
 * @param {(line: string) => void} [say]
 * @returns {boolean} false when the build failed
 */
export function buildIfStale(say = console.error) {
  if (!isStale()) return true;
  say("Building Loftmark…");
  // The time before the build: a source changed while it runs makes the next start build again.
  const startedMs = Date.now();
  const builder = join(ROOT, "node_modules", "electron-vite", "bin", "electron-vite.js");
  const { status, error } = spawnSync(process.execPath, [builder, "build", "--logLevel", "warn"], {
    cwd: ROOT,
    stdio: ["ignore", 2, 2],
  });
  if (status !== 0) {
    say(error === undefined ? "The build failed." : `The build could not start: ${error.message}`);
    return false;
  }
  mkdirSync(join(ROOT, "out"), { recursive: true });
  writeFileSync(join(ROOT, STAMP), `${startedMs}\n`);
  return true;
}

/** @returns {boolean} */
export function isStale() {
  if (!RESULTS.every((path) => existsSync(join(ROOT, path)))) return true;
  const builtMs = existsSync(join(ROOT, STAMP))
    ? Number(readFileSync(join(ROOT, STAMP), "utf8"))
    : Number.NaN;
  return !SOURCES.every((path) => newestMs(join(ROOT, path)) < builtMs);
}

/**
 * Time of the newest change at or below a path, ms; a folder's own time tells of files added and removed.
 * @param {string} path
 * @returns {number}
 */
export function newestMs(path) {
  const stats = statSync(path);
  if (!stats.isDirectory()) return stats.mtimeMs;
  return Math.max(stats.mtimeMs, ...readdirSync(path).map((name) => newestMs(join(path, name))));
}
