import { spawn } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";

/*
 * npm run bench:truth [-- --shots N --families N] [-- --family NAME] [-- --tuning SEEDS]: how near the
 * measurement, or with --tuning the tuned launcher, comes to the truth on simulated shots, and whether its
 * stated uncertainties are true; see docs/bench.md. Seeded: the same figures on every machine.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const PROGRAM = join(ROOT, "out", "bench", "truth");

await build({
  root: ROOT,
  configFile: false,
  logLevel: "warn",
  build: {
    ssr: true,
    target: "node20",
    outDir: PROGRAM,
    emptyOutDir: true,
    rolldownOptions: {
      input: { truth: join(ROOT, "test", "bench", "truth", "truth.ts") },
      output: { entryFileNames: "[name].js" },
    },
  },
});

const child = spawn(process.execPath, [join(PROGRAM, "truth.js"), ...process.argv.slice(2)], {
  cwd: ROOT,
  stdio: "inherit",
});
child.on("exit", (code) => process.exit(code ?? 1));
