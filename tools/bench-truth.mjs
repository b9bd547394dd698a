import { spawn } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildForNode } from "./build-for-node.mjs";

/*
 * npm run bench:truth [-- --shots N --families N] [-- --family NAME] [-- --tuning SEEDS]: how near the
 * measurement, or with --tuning the tuned launcher, comes to the truth on simulated shots, and whether its
 * stated uncertainties are true; see docs/bench.md. Seeded: the same figures on every machine.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const PROGRAM = join(ROOT, "out", "bench", "truth");

await buildForNode(PROGRAM, {
  input: { truth: join(ROOT, "test", "bench", "truth", "truth.ts") },
});

const child = spawn(process.execPath, [join(PROGRAM, "truth.js"), ...process.argv.slice(2)], {
  cwd: ROOT,
  stdio: "inherit",
});
child.on("exit", (code) => process.exit(code ?? 1));
