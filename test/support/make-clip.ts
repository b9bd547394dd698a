import { execFile } from "node:child_process";
import { promisify } from "node:util";
import { findFfmpeg } from "../../tools/find-program.mjs";

const run = promisify(execFile);

/**
 * Runs the ffmpeg that Loftmark would use. @throws with what ffmpeg said when it fails, or when there is none
 */
export async function ffmpeg(...args: string[]): Promise<void> {
  const found = findFfmpeg();
  if (found === null) throw new Error("These tests need ffmpeg: run `npm test` once, or install it.");
  await run(found.path, ["-v", "error", "-nostdin", "-y", ...args]);
}

/** Writes a small H.264 clip of a test pattern. */
export async function makeClip(path: string, frames: number, rateHz = 30): Promise<void> {
  const source = `testsrc2=size=320x240:rate=${rateHz}:duration=${frames / rateHz}`;
  await ffmpeg("-f", "lavfi", "-i", source, "-frames:v", String(frames), "-pix_fmt", "yuv420p", path);
}
