import { spawn } from "node:child_process";
import { once } from "node:events";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { checkFfmpegVersion } from "../media/ffmpeg-version.ts";
import { passthroughOptions } from "../media/list-clip.ts";
import { cancelled, ffmpegMissing } from "../media/media-faults.ts";

export interface EncodeJob {
  readonly ffmpegPath: string;
  readonly output: string;
  readonly width: number;
  readonly height: number;
  readonly rateHz: number;
  readonly frames: number;
  /** Timestamps of the frames, increasing, when they do not follow from the rate. */
  readonly stamps?: { readonly ticks: readonly number[]; readonly ticksPerS: number };
  readonly signal?: AbortSignal;
}

const LAST_WORDS = 4000; // characters of ffmpeg's messages kept to tell why it stopped

/**
 * Encodes frames as an H.264 clip (MP4, constant rate unless given timestamps, B-frames, BT.709) by
 * piping them to ffmpeg one at a time, each only after the last was taken, so that no more than a
 * few frames are in memory.
 * @param paint fills the buffer with one frame, yuv420p; the buffer is used again for the next
 * @throws FaultError when ffmpeg cannot be started or fails; "cancelled" when stopped; in
 *   any case ffmpeg has ended
 */
export async function encodeFrames(
  job: EncodeJob,
  paint: (frame: number, into: Uint8Array) => void,
  onFrame: (done: number) => void,
): Promise<void> {
  if (job.signal?.aborted) throw cancelled();
  const given = job.stamps === undefined ? [] : await stampArguments(job.ffmpegPath, job.stamps);
  const child = spawn(job.ffmpegPath, encodeArguments(job, given), { stdio: ["pipe", "ignore", "pipe"] });
  let words = "";
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    words = (words + text).slice(-LAST_WORDS);
  });
  child.stdin.on("error", () => {}); // a closed pipe shows in ffmpeg's exit code, with its own words
  const ended = new Promise<number | null>((resolve, reject) => {
    child.once("error", reject).once("close", resolve);
  });
  ended.catch(() => {}); // awaited below
  const stop = () => child.kill("SIGKILL");
  job.signal?.addEventListener("abort", stop);
  try {
    const buffer = new Uint8Array((job.width * job.height * 3) / 2);
    for (let frame = 0; frame < job.frames && child.exitCode === null && !job.signal?.aborted; frame++) {
      paint(frame, buffer);
      const taken = await taking(child.stdin, buffer, ended);
      if (!taken) break;
      onFrame(frame + 1);
    }
    child.stdin.end();
    const code = await ended.catch((error: NodeJS.ErrnoException) => {
      throw error.code === "ENOENT" || error.code === "EACCES"
        ? ffmpegMissing(job.ffmpegPath)
        : failed(error.message);
    });
    if (job.signal?.aborted) throw cancelled();
    if (code !== 0) throw failed(words);
  } finally {
    job.signal?.removeEventListener("abort", stop);
    if (child.pid !== undefined && child.exitCode === null && child.signalCode === null) {
      stop();
      await once(child, "close");
    }
  }
}

/** @returns whether the pipe took the whole buffer; false when ffmpeg ended first. */
function taking(pipe: NodeJS.WritableStream, buffer: Uint8Array, ended: Promise<unknown>): Promise<boolean> {
  return new Promise((resolve) => {
    const gone = () => resolve(false);
    ended.then(gone, gone);
    pipe.write(buffer, (error) => resolve(!error));
  });
}

/**
 * Gives each frame its own timestamp. A filter sees one frame at a time, so the steps
 * up to frame N are summed.
 */
async function stampArguments(
  ffmpegPath: string,
  { ticks, ticksPerS }: NonNullable<EncodeJob["stamps"]>,
): Promise<readonly string[]> {
  const { hasFpsMode } = await checkFfmpegVersion(ffmpegPath);
  const steps = ticks.map((tick, i) =>
    i === 0 ? `${tick}` : `${tick - elementAt(ticks, i - 1)}*gte(N,${i})`,
  );
  return [
    ...["-vf", `settb=1/${ticksPerS},setpts='${sumOf(steps)}'`],
    ...passthroughOptions(hasFpsMode),
    ...["-enc_time_base", `1:${ticksPerS}`, "-video_track_timescale", `${ticksPerS}`],
  ];
}

/**
 * A sum in balanced brackets: ffmpeg takes no expression that is more than a hundred deep, and a
 * plain sum is as deep as long.
 */
function sumOf(terms: readonly string[]): string {
  if (terms.length <= 1) return terms[0] ?? "0";
  const half = terms.length >> 1;
  return `(${sumOf(terms.slice(0, half))}+${sumOf(terms.slice(half))})`;
}

function encodeArguments({ width, height, rateHz, output }: EncodeJob, given: readonly string[]): string[] {
  const colours = [
    "-colorspace",
    "bt709",
    "-color_primaries",
    "bt709",
    "-color_trc",
    "bt709",
    "-color_range",
    "tv",
  ];
  return [
    ...["-hide_banner", "-nostdin", "-loglevel", "error", "-y"],
    ...[
      "-f",
      "rawvideo",
      "-pix_fmt",
      "yuv420p",
      "-video_size",
      `${width}x${height}`,
      "-framerate",
      `${rateHz}`,
    ],
    ...[...colours, "-i", "pipe:0", "-an"],
    ...given,
    ...[
      "-c:v",
      "libx264",
      "-preset",
      "veryfast",
      "-crf",
      "19",
      "-bf",
      "2",
      "-g",
      "60",
      "-pix_fmt",
      "yuv420p",
    ],
    ...[...colours, "-movflags", "+faststart", "-f", "mp4", `file:${output}`],
  ];
}

function failed(words: string): FaultError {
  const last = words.trim().split("\n").at(-1) ?? "";
  return new FaultError(
    "encode-failed",
    `ffmpeg stopped while writing the example clip${last ? `: ${last}` : "."}`,
    "Check that the disk has room and that this ffmpeg has the libx264 encoder.",
  );
}
