import { stat } from "node:fs/promises";
import { basename } from "node:path";
import { FaultError } from "../../shared/quantity/notice.ts";

export function cancelled(): FaultError {
  return new FaultError(
    "cancelled",
    "The work on the clip was cancelled.",
    "Start it again if you still want it.",
  );
}

export function ffmpegMissing(path: string | null): FaultError {
  return new FaultError(
    "ffmpeg-missing",
    path === null
      ? "The program ffmpeg, which reads the clips, was not found."
      : `The program ffmpeg is not at ${path}.`,
    "Install ffmpeg, or set LOFTMARK_FFMPEG to where it is, and start Loftmark again.",
  );
}

export interface FileState {
  readonly bytes: number;
  readonly modifiedMs: number;
}

/**
 * Size and time of a clip.
 * @throws FaultError clip-missing, clip-unreadable, not-a-video (a folder) or clip-empty
 */
export async function clipState(path: string): Promise<FileState> {
  const name = basename(path);
  const state = await stat(path).catch((error: unknown) => {
    throw readingFault(path, error);
  });
  if (!state.isFile()) throw notVideo(name);
  if (state.size === 0) {
    throw new FaultError(
      "clip-empty",
      `${name} is empty: it holds no bytes at all.`,
      "Copy the clip from the card again and wait until the copy is finished.",
    );
  }
  return { bytes: state.size, modifiedMs: state.mtimeMs };
}

/** The fault behind a clip that the system would not open or read. */
export function readingFault(path: string, error: unknown): FaultError {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === "ENOENT" || code === "ENOTDIR") return missing(basename(path));
  return unreadable(basename(path), `The system says ${code ?? String(error)}.`);
}

/** The fault behind a clip that ffmpeg refused to open or list, from what it wrote to standard error. */
export function openingFault(path: string, stderr: string): FaultError {
  const name = basename(path);
  if (/detected only with low score/.test(stderr)) return notVideo(name);
  if (/moov atom not found/.test(stderr)) return cutOff(name, "its index, which is written last, is missing");
  if (/matches no streams/.test(stderr)) return noVideoStream(name);
  if (/not on whitelist|Invalid data found|misdetection possible/.test(stderr)) return notVideo(name);
  if (/Permission denied/.test(stderr)) return unreadable(name, "Reading it is not permitted.");
  if (/No such file/.test(stderr)) return missing(name);
  return unreadable(name, `ffmpeg says: ${lastWords(stderr)}`);
}

/** True when ffmpeg read to an end that came before the container said it would. */
export function endsEarly(stderr: string): boolean {
  return /: partial file$|File ended prematurely/m.test(stderr);
}

export function cutOff(name: string, how: string): FaultError {
  return new FaultError(
    "clip-cut-off",
    `${name} is cut off: ${how}.`,
    "Copy the clip from the card again; if the camera lost power while writing, its own repair on the card may help.",
  );
}

export function noVideoStream(name: string): FaultError {
  return new FaultError(
    "no-video-stream",
    `${name} holds no moving picture, only sound or data.`,
    "Pick the clip that the camera filmed.",
  );
}

export function noFrames(name: string): FaultError {
  return new FaultError(
    "no-frames",
    `${name} is a video with no frames in it.`,
    "Copy the clip from the card again, or pick another clip.",
  );
}

export function unknownCodec(name: string, codec: string): FaultError {
  return new FaultError(
    "codec-unknown",
    `${name} is coded as "${codec}", which this ffmpeg cannot decode.`,
    "Convert the clip to H.264 in an MP4 file with the camera maker's program, or install a fuller ffmpeg.",
  );
}

/** A frame of such a clip shows two instants, on every other line each: no mark on it has one time. */
export function interlaced(name: string): FaultError {
  return new FaultError(
    "interlaced",
    `${name} is interlaced: each of its frames holds two half pictures, taken one after the other, so a mark has no one time.`,
    "Give each half picture a frame of its own: ffmpeg -i CLIP -vf bwdif=mode=send_field -c:v libx264 -crf 4 NEW.mp4. If the camera filmed whole frames and only stored them so (25p or 30p in AVCHD), put setfield=prog for bwdif=mode=send_field.",
  );
}

export function clipChanged(name: string): FaultError {
  return new FaultError(
    "clip-changed",
    `${name} is no longer the file that was looked at before: its size has changed.`,
    "Open the clip again so that its frames are listed again.",
  );
}

/** The file changes while it is looked at: a copy that is still running, most often. */
export function clipChanging(name: string): FaultError {
  return new FaultError(
    "clip-changing",
    `${name} changed while it was being read.`,
    "Wait until it is copied in full, then open it again.",
  );
}

/** @param atFrame the first frame of the range that was asked for */
export function framesNotExact(name: string, atFrame: number, stderr: string): FaultError {
  const said = lastWords(stderr);
  return new FaultError(
    "frames-not-exact",
    `The frames of ${name} from frame ${atFrame} on do not decode at the times the file lists${said === "" ? "" : ` (ffmpeg says: ${said})`}.`,
    "Copy the clip from the card again; if it stays so, the clip is damaged there: use frames before the damage.",
  );
}

/**
 * One frame that is damaged in the file, while others are not.
 * @param nearest frames on either side that can be shown, null where there is none
 */
export function frameDamaged(
  name: string,
  frame: number,
  why: string,
  [before, after]: readonly [number | null, number | null],
): FaultError {
  const near = [before, after].filter((one) => one !== null);
  const use =
    near.length === 0
      ? ""
      : ` Until then use ${near.length === 2 ? `frame ${before} or ${after}` : `frame ${near[0]}`}, the nearest that can be shown.`;
  return new FaultError(
    "frame-damaged",
    `Frame ${frame} of ${name} is damaged in the file: ${why}.`,
    `Copy the clip from the card again.${use}`,
  );
}

export function noSuchFrame(name: string, from: number, to: number, count: number): FaultError {
  const asked = from === to ? `frame ${from}` : `frames ${from} to ${to}`;
  return new FaultError(
    "no-such-frame",
    `${name} has the frames 0 to ${count - 1}; asked for ${asked}.`,
    "Ask for frames the clip has.",
  );
}

/** A failed write under the cache folder as a fault; errors of other kinds are handed back as they are. */
export function cacheFault(error: unknown, cacheDir: string): unknown {
  const code = (error as NodeJS.ErrnoException)?.code;
  if (code === "ENOSPC" || code === "EDQUOT") return cacheFull(cacheDir);
  if (code === "EACCES" || code === "EPERM" || code === "EROFS" || code === "ENOTDIR") {
    return new FaultError(
      "cache-unwritable",
      `The folder for prepared frames, ${cacheDir}, cannot be written (${code}).`,
      "Make that folder writable, or choose another cache folder.",
    );
  }
  return error;
}

export function cacheFull(cacheDir: string): FaultError {
  return new FaultError(
    "disk-full",
    `The disk that holds the prepared frames (${cacheDir}) is full.`,
    "Make room on that disk; everything in that folder can be deleted.",
  );
}

export function cacheTooSmall(frames: number): FaultError {
  return new FaultError(
    "cache-too-small",
    `${frames === 1 ? "A prepared frame does" : `${frames} prepared frames do`} not stay in the cache: it is too small, or another program empties it.`,
    "Ask for fewer frames at once, or close the other program.",
  );
}

function missing(name: string): FaultError {
  return new FaultError(
    "clip-missing",
    `${name} is not there any more.`,
    "Put the clip back into the field folder, or pick another clip.",
  );
}

function unreadable(name: string, why: string): FaultError {
  return new FaultError(
    "clip-unreadable",
    `${name} cannot be read. ${why}`,
    "Check that you may read the file and that its disk or card is still connected.",
  );
}

function notVideo(name: string): FaultError {
  return new FaultError(
    "not-a-video",
    `${name} is not a video that can be read.`,
    "Pick a clip as the camera wrote it, for example MP4, MOV, MKV, AVI or MTS.",
  );
}

/**
 * The last message ffmpeg wrote, progress and information apart, without its "[demuxer @ address]"
 * and the path of the clip.
 */
function lastWords(stderr: string): string {
  const lines = stderr.split("\n").map((line) => line.trim());
  const message =
    lines.findLast((line) => line !== "" && !/^(frame=|(\[.* @ .*\] )?\[info\] )/.test(line)) ?? "";
  return message
    .replace(/^\[[^\]]*\]\s*/, "")
    .replace(/^file:.*: (?=[A-Z])/, "")
    .slice(0, 200);
}
