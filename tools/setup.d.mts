import type { FoundProgram } from "./find-program.mjs";

export type ProgramName = "ffmpeg" | "ffprobe" | "chromium";
export function ensurePrograms(
  wanted: readonly ProgramName[],
  say?: (line: string) => void,
): { readonly ok: boolean; readonly found: Readonly<Record<ProgramName, FoundProgram | null>> };
