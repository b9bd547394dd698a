import { spawn } from "node:child_process";
import { findFfmpeg, findFfprobe } from "../../tools/find-program.mjs";

/** ffmpeg for making clips. @throws Error when there is none: tests without it fail, they do not pass. */
export function ffmpegPath(): string {
  const found = findFfmpeg();
  if (found === null) throw new Error("ffmpeg was not found; node tools/setup.mjs says how to get it");
  return found.path;
}

/** ffprobe, the independent witness of timestamps. @throws Error when there is none */
export function ffprobePath(): string {
  const found = findFfprobe(ffmpegPath());
  if (found === null) throw new Error("ffprobe was not found; node tools/setup.mjs says how to get it");
  return found.path;
}

/**
 * Runs a program to its end with `input` on standard input. @throws Error with what it wrote when it fails
 */
export function run(path: string, args: readonly string[], input?: Iterable<Uint8Array>): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const child = spawn(path, args, { stdio: [input === undefined ? "ignore" : "pipe", "pipe", "pipe"] });
    const out: Buffer[] = [];
    let err = "";
    child.stdout?.on("data", (data: Buffer) => out.push(data));
    child.stderr?.on("data", (data: Buffer) => {
      err += data.toString();
    });
    child.on("error", reject);
    child.on("close", (code) => {
      if (code === 0) resolve(Buffer.concat(out));
      else reject(new Error(`${path} ${args.join(" ")} ended with ${code}: ${err}`));
    });
    if (input !== undefined) {
      child.stdin?.on("error", () => {}); // The exit code tells what went wrong.
      for (const part of input) child.stdin?.write(part);
      child.stdin?.end();
    }
  });
}
