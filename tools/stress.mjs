import { spawn } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildForNode } from "./build-for-node.mjs";
import { buildIfStale } from "./build-if-stale.mjs";
import { ensurePrograms } from "./setup.mjs";

/*
 * npm run stress [-- --only PART] [-- --seed N] [-- --short] [-- --from N]: the long attacks on what must
 * never be lost, part after part; the sweep goes on after its first N documents. Ends with 1 when a part
 * failed.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const PROGRAM = join(ROOT, "out", "stress", "program");

if (!ensurePrograms(["ffmpeg"]).ok || !buildIfStale()) process.exit(1);

await buildForNode(PROGRAM, {
  input: {
    stress: join(ROOT, "test", "stress", "stress.ts"),
    "heavy-worker": join(ROOT, "src", "main", "jobs", "heavy-worker.ts"),
  },
});

const child = spawn(process.execPath, [join(PROGRAM, "stress.js"), ...process.argv.slice(2)], {
  cwd: ROOT,
  stdio: "inherit",
});
process.on("SIGINT", () => {}); // Ctrl-C reaches the child by itself.
process.on("SIGTERM", () => child.kill("SIGTERM"));
child.on("exit", (code) => process.exit(code ?? 1));
