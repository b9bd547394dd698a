export interface FoundProgram {
  /** Absolute path of a file that may be run. */
  readonly path: string;
  /** Where it was found, for a person: an environment variable, a package or PATH. */
  readonly from: string;
}
export function findFfmpeg(env?: NodeJS.ProcessEnv): FoundProgram | null;
export function findFfprobe(ffmpegPath: string | null, env?: NodeJS.ProcessEnv): FoundProgram | null;
export function findChromium(env?: NodeJS.ProcessEnv): FoundProgram | null;
export function onPath(names: readonly string[], env?: NodeJS.ProcessEnv): FoundProgram | null;
