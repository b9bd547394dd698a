import { realpathSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { runCli } from "./cli/run-cli.ts";

/** The headless host: runs the command line of this process when it is the program that was started. */
async function main(): Promise<void> {
  const stop = new AbortController();
  for (const signal of ["SIGINT", "SIGTERM"] as const) {
    process.once(signal, () => stop.abort()); // once: a second Ctrl-C ends the process at once
  }
  // A reader that closes early (`loftmark schema | head`) is no failure.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    process.exit(0);
  });
  process.exitCode = await runCli(process.argv.slice(2), {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    showsProgress: process.stderr.isTTY === true,
    cwd: process.cwd(),
    signal: stop.signal,
  });
}

if (process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  await main();
}
