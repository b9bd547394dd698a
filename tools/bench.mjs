import { spawn } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildForNode } from "./build-for-node.mjs";
import { buildIfStale } from "./build-if-stale.mjs";
import { ensurePrograms } from "./setup.mjs";

/*
 * npm run bench [-- --rounds N] [-- --only PART]: the figures of docs/bench.md in one table. Ends with 0
 * whether or not the targets are met, because a busy machine is no fault of the program; with 1 when a
 * figure could not be had.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const PROGRAM = join(ROOT, "out", "bench", "program");

if (!ensurePrograms(["ffmpeg", "chromium"]).ok || !buildIfStale()) process.exit(1);

await buildForNode(PROGRAM, {
  input: {
    bench: join(ROOT, "test", "bench", "bench.ts"),
    "ram-once": join(ROOT, "test", "bench", "ram-once.ts"),
    "heavy-worker": join(ROOT, "src", "main", "jobs", "heavy-worker.ts"),
  },
});

const child = spawn(process.execPath, [join(PROGRAM, "bench.js"), ...process.argv.slice(2)], {
  cwd: ROOT,
  stdio: "inherit",
});
process.on("SIGINT", () => {}); // Ctrl-C reaches the child by itself, which still has a browser to close.
process.on("SIGTERM", () => child.kill("SIGTERM"));
child.on("exit", (code) => process.exit(code ?? 1));
