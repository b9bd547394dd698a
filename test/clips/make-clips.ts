import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { numberedPicture } from "./numbered-picture.ts";
import { ffmpegPath, ffprobePath, run } from "./program.ts";

export const WIDTH = 160;
export const HEIGHT = 96;
export const FRAMES = 90;

/** Two B-frames and a key frame every 24: what a phone or action camera writes, in small. */
export const H264 = ["-c:v", "libx264", "-preset", "veryfast", "-bf", "2", "-g", "24", "-pix_fmt", "yuv420p"];

/** Encodes `count` numbered pictures, given to ffmpeg at 30 a second, with the output options given. */
export async function makeClip(out: string, options: readonly string[], count = FRAMES): Promise<string> {
  const raw = ["-f", "rawvideo", "-pix_fmt", "gray", "-s", `${WIDTH}x${HEIGHT}`, "-r", "30", "-i", "-"];
  const pictures = Array.from({ length: count }, (_, i) => numberedPicture(WIDTH, HEIGHT, i));
  await run(ffmpegPath(), ["-v", "error", "-y", ...raw, ...options, `file:${out}`], pictures);
  return out;
}

/** Rewraps or re-encodes one clip into another. */
export async function convertClip(
  from: string,
  before: readonly string[],
  options: readonly string[],
  out: string,
): Promise<string> {
  await run(ffmpegPath(), ["-v", "error", "-y", ...before, "-i", `file:${from}`, ...options, `file:${out}`]);
  return out;
}

/**
 * Irregular times: frame k is shown at 2700 k + (37 k^2 mod 1700) ticks of 1/90000 s,
 * 9000 later after frame 40.
 */
export function variableTicks(k: number): number {
  return 2700 * k + ((37 * k * k) % 1700) + (k > 40 ? 9000 : 0);
}

/** A clip whose frames are shown at variableTicks. `out` is an MP4 file. */
export function makeVariableClip(out: string): Promise<string> {
  const times = "settb=1/90000,setpts=2700*N+mod(37*N*N\\,1700)+9000*gt(N\\,40)";
  const rate = ["-vsync", "passthrough", "-enc_time_base", "1/90000", "-video_track_timescale", "90000"];
  return makeClip(out, ["-vf", times, ...H264, ...rate]);
}

/**
 * Sets the display matrix in the track header of an MP4 clip to a clockwise turn by 90
 * degrees, as phones write it.
 */
export async function turnQuarter(path: string): Promise<void> {
  const bytes = await readFile(path);
  const header = bytes.indexOf("tkhd");
  const matrix = header + 4 + 40; // version 0: flags 4, times and ids 20, reserved 8, layer to reserved 8
  const terms = [0, 0x10000, 0, -0x10000, 0, 0, 0, 0, 0x40000000]; // a b u c d v x y w
  terms.forEach((term, i) => {
    bytes.writeInt32BE(term, matrix + 4 * i);
  });
  await writeFile(path, bytes);
}

/** Timestamps and key frames of every frame as ffprobe decodes them: [ticks, isKey] by presentation. */
export async function probeFrames(path: string): Promise<readonly (readonly [number, boolean])[]> {
  const entries = ["-show_entries", "frame=best_effort_timestamp,key_frame"];
  const text = await run(ffprobePath(), [
    ...["-v", "error", "-select_streams", "v:0", ...entries, "-of", "compact=p=0"],
    `file:${path}`,
  ]);
  return text
    .toString()
    .split("\n")
    .filter((line) => line.includes("best_effort_timestamp="))
    .map((line) => [Number(/best_effort_timestamp=(-?\d+)/.exec(line)?.[1]), /key_frame=1/.test(line)]);
}

/** Decodes JPEGs to grey pictures of the size given. */
export async function decodeJpegs(
  jpegs: readonly Uint8Array[],
  width: number,
  height: number,
): Promise<readonly Uint8Array[]> {
  const from = ["-f", "image2pipe", "-c:v", "mjpeg", "-i", "-"];
  const raw = await run(
    ffmpegPath(),
    ["-v", "error", ...from, "-vsync", "passthrough", "-f", "rawvideo", "-pix_fmt", "gray", "-"],
    jpegs,
  );
  if (raw.length !== width * height * jpegs.length) {
    throw new Error(`${jpegs.length} pictures of ${width}x${height} expected, got ${raw.length} bytes`);
  }
  return jpegs.map((_, i) => raw.subarray(i * width * height, (i + 1) * width * height));
}

/** A clip of each kind a test needs to be careful about, made in `folder`. */
export async function makeAwkwardClips(folder: string) {
  const at = (name: string) => join(folder, name);
  const tag = ["-movflags", "use_metadata_tags", "-metadata", "com.android.capture.fps=240.0"];
  const plain = await makeClip(at("plain.mp4"), [...H264, ...tag]);
  const sound = at("sound.m4a");
  await run(ffmpegPath(), ["-v", "error", "-y", "-f", "lavfi", "-i", "sine=d=4", "-c:a", "aac", sound]);
  const late = at("late.mp4");
  const streams = ["-itsoffset", "0.7", "-i", plain, "-i", sound, "-map", "0:v", "-map", "1:a", "-c", "copy"];
  await run(ffmpegPath(), ["-v", "error", "-y", ...streams, late]);
  await convertClip(plain, [], ["-c", "copy"], at("turned.mp4"));
  await turnQuarter(at("turned.mp4"));
  return {
    plain,
    late,
    sound,
    turned: at("turned.mp4"),
    variable: await makeVariableClip(at("variable.mp4")),
    wide: await convertClip(plain, [], ["-c", "copy", "-aspect", "20:9"], at("wide.mp4")),
    trimmed: await convertClip(plain, ["-ss", "0.5"], ["-c", "copy"], at("trimmed.mp4")),
    matroska: await convertClip(plain, [], ["-c", "copy"], at("matroska.mkv")),
    transport: await convertClip(plain, [], ["-c", "copy"], at("transport.ts")),
    untimed: await convertClip(plain, [], ["-c", "copy"], at("untimed.avi")),
    open: await makeClip(at("open.mp4"), [...H264, "-x264-params", "open-gop=1:bframes=3"]),
    tenBit: await makeClip(at("ten-bit.mp4"), [...H264, "-pix_fmt", "yuv420p10le"]),
    motionJpeg: await makeClip(at("motion.avi"), ["-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj422p"]),
  };
}

/** True when this ffmpeg can write the codec. */
export async function canEncode(encoder: string): Promise<boolean> {
  const text = (await run(ffmpegPath(), ["-hide_banner", "-encoders"])).toString();
  return new RegExp(`^ V\\S* ${encoder} `, "m").test(text);
}
