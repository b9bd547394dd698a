import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { GreyImage } from "../../src/shared/follow/grey-image.ts";

const RATE_HZ = 60;
const KEY_EVERY = 30;

/**
 * The pictures as an H.264 clip gives them back: encoded to `mbit` Mbit/s at 60 frames a second with a key
 * frame each half second and B-frames, and decoded to their luma plane.
 */
export function compressed(
  ffmpegPath: string,
  images: readonly GreyImage[],
  mbit: number,
): readonly GreyImage[] {
  const [{ width, height }] = images as readonly [GreyImage, ...GreyImage[]];
  const folder = mkdtempSync(join(tmpdir(), "loftmark-hard-"));
  try {
    const [raw, clip, grey] = ["raw", "clip.mp4", "grey"].map((name) => join(folder, name)) as [
      string,
      string,
      string,
    ];
    writeFileSync(raw, Buffer.concat(images.map(({ data }) => data as Uint8Array)));
    const quiet = ["-v", "error", "-nostdin", "-y"];
    const rate = `${Math.round(mbit * 1000)}k`;
    execFileSync(ffmpegPath, [
      ...[...quiet, "-f", "rawvideo", "-pix_fmt", "gray", "-s", `${width}x${height}`, "-r", String(RATE_HZ)],
      ...["-i", raw, "-pix_fmt", "yuv420p", "-c:v", "libx264", "-preset", "medium", "-threads", "1"],
      ...["-b:v", rate, "-maxrate", rate, "-bufsize", rate, "-g", String(KEY_EVERY), clip],
    ]);
    execFileSync(ffmpegPath, [...quiet, "-i", clip, "-vf", "extractplanes=y", "-f", "rawvideo", grey]);
    const planes = readFileSync(grey);
    const size = width * height;
    return images.map((_, k) => ({
      data: new Uint8Array(planes.subarray(k * size, (k + 1) * size)),
      width,
      height,
    }));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
