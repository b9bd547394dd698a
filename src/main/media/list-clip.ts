import { basename } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";
import { aviIndex, firstMisplaced } from "./avi-index.ts";
import { type ClipBanner, parseBanner } from "./clip-banner.ts";
import { type FrameList, parseFrameList, parsePackets } from "./frame-list.ts";
import type { MediaOptions } from "./media.ts";
import {
  cutOff,
  endsEarly,
  interlaced,
  noFrames,
  noVideoStream,
  openingFault,
  unknownCodec,
} from "./media-faults.ts";
import { type Ffmpeg, FfmpegFailure } from "./run-ffmpeg.ts";

export interface ClipListing {
  readonly banner: ClipBanner;
  readonly frames: FrameList;
  /** The file ends before the container said it would: the frames are those that are whole. */
  readonly endsEarly: boolean;
  /** The first frame that the file's own index has at another time; null when there is none, or no index. */
  readonly misplacedFrom: number | null;
}

/** Keeps times as the file has them: no shift to zero, no repair of negative times. */
const TIMES_AS_THEY_ARE = ["-copyts", "-avoid_negative_ts", "disabled"];

/**
 * Lists every shown frame of a clip from its packets, in one pass over the file with nothing decoded. Where
 * packets carry no usable presentation times (some AVI), decodes tiny pictures to learn them; the last few
 * frames of such a clip have no time in the file at all and follow at the decoder's own step. Of a clip that
 * is cut off, the frames that are whole are listed.
 * @throws FaultError not-a-video, clip-cut-off, no-video-stream, no-frames, codec-unknown, interlaced,
 *   clip-unreadable, cancelled
 */
export async function listClip(ffmpeg: Ffmpeg, path: string, options?: MediaOptions): Promise<ClipListing> {
  const name = basename(path);
  const { stdout, stderr } = await listing(ffmpeg, path, ["-c", "copy"], options);
  const banner = parseBanner(stderr);
  if (banner === null) throw openingFault(path, stderr);
  if (banner.video === null) throw noVideoStream(name);
  if (banner.video.interlaced === true) throw interlaced(name);
  const early = endsEarly(stderr);
  const frames = parseFrameList(stdout, early);
  if (frames.pts.length === 0) throw early ? cutOff(name, "no frame of it is whole") : noFrames(name);
  if (banner.video.size === null || banner.video.pixelFormat === null) {
    throw unknownCodec(name, banner.video.codec);
  }
  const timed = frames.timed ? frames : await decodedList(ffmpeg, path, frames, options);
  const misplacedFrom = frames.timed ? await misplacedIn(path, banner, stdout) : null;
  return { banner, frames: timed, endsEarly: early, misplacedFrom };
}

/**
 * AVI says when its pictures are shown by their number alone: where some cannot be read, all
 * that follow come too early.
 */
async function misplacedIn(path: string, { container }: ClipBanner, list: string): Promise<number | null> {
  const index = container === "avi" ? await aviIndex(path) : null;
  if (index === null) return null;
  const packets = parsePackets(list);
  const first = packets[0]?.pts ?? 0;
  return firstMisplaced(
    index,
    packets.map(({ pts, bytes }) => ({ step: pts - first, bytes })),
  );
}

async function decodedList(
  ffmpeg: Ffmpeg,
  path: string,
  listed: FrameList,
  options?: MediaOptions,
): Promise<FrameList> {
  const passthrough = passthroughOptions((await ffmpeg.version()).hasFpsMode);
  const tiny = ["-vf", "scale=16:16:flags=neighbor", ...passthrough];
  const base = ["-enc_time_base", listed.timeBase.join("/")];
  const { stdout } = await listing(ffmpeg, path, [...tiny, ...base], options);
  const decoded = parseFrameList(stdout);
  if (decoded.pts.length === 0) throw noFrames(basename(path));
  if (!decoded.timed) {
    throw new FaultError(
      "no-frame-times",
      `${basename(path)} does not say when its frames are shown.`,
      "Convert the clip to MP4 with the camera maker's program, so that every frame has its time.",
    );
  }
  // Decoded pictures no longer tell which were key frames; the first is.
  return { ...decoded, keyFrames: [0] };
}

/** Options that neither make nor drop a frame. */
export function passthroughOptions(hasFpsMode: boolean): readonly string[] {
  return hasFpsMode ? ["-fps_mode", "passthrough"] : ["-vsync", "passthrough"];
}

/**
 * The tee output of a run that writes pictures into `file` and the list of them, line by line as they come,
 * to standard output: a process that is killed takes its reader away with it, and ffmpeg ends at the next
 * line that it cannot write.
 */
export function withList(format: string, file: string): string {
  return `[f=${format}]${file}|[f=framecrc:flush_packets=1]pipe:1`;
}

async function listing(ffmpeg: Ffmpeg, path: string, how: readonly string[], options?: MediaOptions) {
  let lengthS = 0;
  const onLine = (line: string) => {
    lengthS ||= clockS(/^ {2}Duration: ([\d:.]+)/.exec(line)?.[1]);
    const at = clockS(/\btime=([\d:.]+)/.exec(line)?.[1]);
    if (lengthS > 0 && at > 0) {
      options?.onProgress?.({ fraction: Math.min(1, at / lengthS), doing: "Listing every frame" });
    }
  };
  try {
    return await ffmpeg.run({
      input: path,
      inputOptions: ["-loglevel", "info", "-copyts"],
      output: "-",
      outputOptions: ["-map", "0:V:0", ...how, ...TIMES_AS_THEY_ARE, "-f", "framecrc"],
      onLine,
      ...(options?.signal === undefined ? {} : { signal: options.signal }),
    });
  } catch (error) {
    if (error instanceof FfmpegFailure) throw openingFault(path, error.stderr);
    throw error;
  }
}

function clockS(text: string | undefined): number {
  const [h, m, s] = (text ?? "").split(":").map(Number);
  return h === undefined || m === undefined || s === undefined ? 0 : h * 3600 + m * 60 + s;
}
