import { spawn } from "node:child_process";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildIfStale } from "./build-if-stale.mjs";

// The command line: builds when needed, then runs in the folder the person is in (npm
// moves to the project's root).
if (!buildIfStale()) process.exit(1);

const program = join(dirname(dirname(fileURLToPath(import.meta.url))), "out", "main", "cli.js");
const child = spawn(process.execPath, [program, ...process.argv.slice(2)], {
  cwd: process.env.INIT_CWD ?? process.cwd(),
  stdio: "inherit",
});
// Ctrl-C reaches the child by itself; this process only has to stay until the child has put things in order.
process.on("SIGINT", () => {});
process.on("SIGTERM", () => child.kill("SIGTERM"));
child.on("exit", (code) => process.exit(code ?? 1));
