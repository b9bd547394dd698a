import { execFile } from "node:child_process";
import { FaultError } from "../../shared/quantity/notice.ts";
import { ffmpegMissing } from "./media-faults.ts";

/** What Loftmark needs to know of an ffmpeg: how it calls itself, and which names its options have. */
export interface FfmpegVersion {
  /** As the program prints it, e.g. "5.1.9-0+deb12u1" or "n7.1" or a build date. */
  readonly text: string;
  /** `-fps_mode`, since 5.1; before it the same was `-vsync`. */
  readonly hasFpsMode: boolean;
  /**
   * Reads, decodes and writes step by step in one thread, so that what it says comes
   * in that order; until 7.0.
   */
  readonly inStep: boolean;
}

// libavutil numbers are the same in every build, where the version text may be a date or a commit.
const OLDEST: readonly [number, number] = [56, 70]; // ffmpeg 4.4, April 2021
const THREADS_APART: readonly [number, number] = [59, 0]; // ffmpeg 7.0, April 2024
const FPS_MODE: readonly [number, number] = [57, 28]; // ffmpeg 5.1, July 2022

/**
 * Asks the program for its version.
 * @throws FaultError ffmpeg-missing; ffmpeg-unusable when it does not run or is not ffmpeg;
 *   ffmpeg-too-old below 4.4
 */
export async function checkFfmpegVersion(path: string | null): Promise<FfmpegVersion> {
  if (path === null) throw ffmpegMissing(null);
  return parseFfmpegVersion(await versionText(path), path);
}

/** Reads the output of `ffmpeg -version`. @throws as checkFfmpegVersion, without ffmpeg-missing */
export function parseFfmpegVersion(output: string, path: string): FfmpegVersion {
  const text = /^ffmpeg version (\S+)/m.exec(output)?.[1];
  const avutil = /^\s*libavutil\s+(\d+)\.\s*(\d+)\./m.exec(output);
  if (text === undefined || avutil === null) throw unusable(path, "It does not answer as ffmpeg does.");
  const found = [Number(avutil[1]), Number(avutil[2])] as const;
  if (!atLeast(found, OLDEST)) {
    throw new FaultError(
      "ffmpeg-too-old",
      `The ffmpeg at ${path} is version ${text}; Loftmark needs 4.4 or later.`,
      "Install a newer ffmpeg, or set LOFTMARK_FFMPEG to one, and start Loftmark again.",
    );
  }
  return { text, hasFpsMode: atLeast(found, FPS_MODE), inStep: !atLeast(found, THREADS_APART) };
}

function atLeast(found: readonly [number, number], needed: readonly [number, number]): boolean {
  return found[0] > needed[0] || (found[0] === needed[0] && found[1] >= needed[1]);
}

function versionText(path: string): Promise<string> {
  return new Promise((resolve, reject) => {
    execFile(path, ["-version"], { windowsHide: true, timeout: 20_000 }, (error, stdout) => {
      if (error === null) resolve(stdout);
      else if (error.code === "ENOENT" || error.code === "ENOTDIR") reject(ffmpegMissing(path));
      else reject(unusable(path, `It could not be run (${String(error.code ?? error.signal)}).`));
    });
  });
}

function unusable(path: string, why: string): FaultError {
  return new FaultError(
    "ffmpeg-unusable",
    `The program at ${path} is not a working ffmpeg. ${why}`,
    "Install ffmpeg again, or set LOFTMARK_FFMPEG to one that works.",
  );
}
