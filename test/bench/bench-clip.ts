import { createHash } from "node:crypto";
import { mkdir, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { runProgram } from "./run-program.ts";

export const CLIP_NAME = "bench.mp4";
export const CLIP_FRAMES = 1920;
const DRAWN_FRAMES = 480;

const DRAWING = [
  ...["-f", "lavfi", "-i", "testsrc2=size=1920x1080:rate=240"],
  // Noise as a sensor makes it: without it the pictures cost next to nothing to decode.
  ...["-vf", "noise=alls=8:allf=t:all_seed=7,format=yuv420p", "-frames:v", String(DRAWN_FRAMES)],
  ...["-c:v", "libx264", "-preset", "veryfast", "-b:v", "62M", "-bf", "2", "-g", "240"],
];

/**
 * A clip as a phone's slow motion leaves it: 1080p, H.264 with B-frames, 240 frames a second at some 60
 * Mbit/s, a key frame a second, eight seconds, about 60 MB. Two seconds are drawn and repeated packet by
 * packet. Made once in `folder`.
 * @returns its path
 */
export async function benchClip(ffmpegPath: string, folder: string): Promise<string> {
  const recipe = createHash("sha256")
    .update(JSON.stringify([DRAWING, CLIP_FRAMES]))
    .digest("hex");
  const home = join(folder, `clip-${recipe.slice(0, 12)}`);
  const path = join(home, CLIP_NAME);
  if (await exists(path)) return path;
  await mkdir(home, { recursive: true });
  const [drawn, whole] = [join(home, "drawn.mp4"), join(home, "whole.mp4")];
  const quiet = ["-v", "error", "-nostdin", "-y"];
  await runProgram(ffmpegPath, [...quiet, ...DRAWING, drawn]);
  const again = ["-stream_loop", String(CLIP_FRAMES / DRAWN_FRAMES - 1)];
  await runProgram(ffmpegPath, [...quiet, ...again, "-i", drawn, "-c", "copy", whole]);
  await rm(drawn);
  await rename(whole, path);
  return path;
}

export function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}
