import { realpathSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { runCli } from "./cli/run-cli.ts";

/** Exit status of a program that a signal stopped, as shells have it: 128 and the signal's number. */
const STATUS_OF = { SIGINT: 130, SIGTERM: 143 } as const;

/**
 * The headless host: runs the command line of this process when it is the program that was started. A signal
 * stops what is being done, threads and ffmpeg with it; what is being written is written whole first.
 */
async function main(): Promise<void> {
  const stop = new AbortController();
  let stoppedStatus = 0;
  for (const signal of ["SIGINT", "SIGTERM"] as const) {
    // once: a second Ctrl-C ends the process at once
    process.once(signal, () => {
      stoppedStatus = STATUS_OF[signal];
      stop.abort();
    });
  }
  // A reader that closes early (`loftmark schema | head`) is no failure.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    process.exit(0);
  });
  const status = await runCli(process.argv.slice(2), {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    showsProgress: process.stderr.isTTY === true,
    cwd: process.cwd(),
    signal: stop.signal,
  });
  process.exitCode = status === 1 && stoppedStatus !== 0 ? stoppedStatus : status;
}

if (process.argv[1] !== undefined && realpathSync(process.argv[1]) === fileURLToPath(import.meta.url)) {
  await main();
}
