import type { ChildProcess } from "node:child_process";
import { access, constants } from "node:fs/promises";
import fluent from "fluent-ffmpeg";
import { checkFfmpegVersion, type FfmpegVersion } from "./ffmpeg-version.ts";
import { createLimit } from "./limit-parallel.ts";
import { cancelled, ffmpegMissing } from "./media-faults.ts";
import { noteRunning } from "./running-program.ts";

/**
 * One ffmpeg process with one input file and one output. Options are one array item an argument, never split.
 */
export interface FfmpegTask {
  /** Absolute path of the input; only ever opened as a local file, whatever its name looks like. */
  readonly input: string;
  readonly inputOptions: readonly string[];
  /** "-" for standard output, else what the output's muxer takes, relative to `cwd`. */
  readonly output: string;
  readonly outputOptions: readonly string[];
  readonly cwd?: string;
  /** Goes before waiting tasks that are not urgent: a person is looking at an empty picture. */
  readonly urgent?: boolean;
  readonly signal?: AbortSignal;
  /** Every line ffmpeg writes to standard error, its progress lines included, as it comes. */
  readonly onLine?: (line: string) => void;
  /** What it writes to standard output, as it comes; not split into lines. */
  readonly onOutput?: (text: string) => void;
}

export interface FfmpegOutput {
  readonly stdout: string;
  readonly stderr: string;
}

export interface Ffmpeg {
  /** The version, asked once. @throws FaultError ffmpeg-missing, ffmpeg-unusable or ffmpeg-too-old */
  version(): Promise<FfmpegVersion>;
  /**
   * Runs one task. @throws FaultError ffmpeg-missing or cancelled; FfmpegFailure when ffmpeg itself failed
   */
  run(task: FfmpegTask): Promise<FfmpegOutput>;
}

/** ffmpeg ended with an error; callers turn what it said into a fault for a person. */
export class FfmpegFailure extends Error {
  readonly stderr: string;
  constructor(message: string, stderr: string) {
    super(message);
    this.name = "FfmpegFailure";
    this.stderr = stderr;
  }
}

// One decodes with all cores; a second fills its gaps, a third only costs memory.
const PROCESSES_AT_ONCE = 2;

/**
 * Containers that cameras, phones and editors write. Anything else ffmpeg could open (pictures, text
 * drawn as video, play lists that name other files) is not a clip, and a play list must not lead
 * outside the field folder.
 */
const CONTAINERS =
  "mov,matroska,avi,mpegts,mpeg,asf,flv,mxf,mxf_opatom,ogg,dv,ivf,nut,gif,cine,rm,wtv,yuv4mpegpipe";

/** The only door to ffmpeg. `path` is null when none was found: every call then fails with ffmpeg-missing. */
export function createFfmpeg(path: string | null): Ffmpeg {
  const limit = createLimit(PROCESSES_AT_ONCE);
  let version: Promise<FfmpegVersion> | null = null;
  return {
    version() {
      version ??= checkFfmpegVersion(path).catch((error: unknown) => {
        version = null; // A person may install ffmpeg while the window is open.
        throw error;
      });
      return version;
    },
    run(task) {
      return limit(task.urgent ?? false, task.signal, async () => runOne(await mustExist(path), task));
    },
  };
}

/**
 * fluent-ffmpeg ends the whole process with an uncaught TypeError when its binary cannot be started, so the
 * binary is looked at before every start.
 */
async function mustExist(path: string | null): Promise<string> {
  if (path === null) throw ffmpegMissing(null);
  try {
    await access(path, constants.X_OK);
    return path;
  } catch {
    throw ffmpegMissing(path);
  }
}

/**
 * The parts of a fluent-ffmpeg command that its types leave out and that this module replaces;
 * 2.1.3 is its last version.
 */
interface Insides {
  _getFfmpegPath(done: (error: Error | null, path: string) => void): void;
  _checkCapabilities(done: () => void): void;
  availableEncoders(done: (error: Error | null, encoders: object) => void): void;
  _spawnFfmpeg(args: string[], options: object, started: unknown, ended: Ended): void;
}
type Lines = { get(): string };
type Ended = (error: Error | null, stdout?: Lines, stderr?: Lines) => void;

function runOne(path: string, task: FfmpegTask): Promise<FfmpegOutput> {
  const { signal, onLine, onOutput } = task;
  const command = fluent({ stdoutLines: 0, ...(task.cwd === undefined ? {} : { cwd: task.cwd }) });
  replaceInsides(command as unknown as Insides, path);
  command
    .input(`file:${task.input}`)
    .inputOptions(
      "-hide_banner",
      "-nostdin",
      "-protocol_whitelist",
      "file",
      "-format_whitelist",
      CONTAINERS,
      ...task.inputOptions,
    )
    .output(task.output)
    .outputOptions(...twoOrMore(task.outputOptions));
  return new Promise((resolve, reject) => {
    let started = false;
    const kill = () => started && command.kill("SIGKILL");
    signal?.addEventListener("abort", kill);
    let forgetRunning = () => {};
    const settle = () => {
      signal?.removeEventListener("abort", kill);
      forgetRunning();
    };
    command.on("start", () => {
      started = true;
      const program = programOf(command);
      if (task.cwd !== undefined) forgetRunning = noteRunning(task.cwd, program?.pid);
      if (onOutput !== undefined) program?.stdout?.on("data", (data) => onOutput(String(data)));
      if (signal?.aborted) kill(); // kill() before the start does nothing, and ffmpeg would run on.
    });
    if (onLine !== undefined) command.on("stderr", onLine);
    command.on("end", (stdout: string | null, stderr: string | null) => {
      settle();
      if (signal?.aborted) reject(cancelled());
      else resolve({ stdout: stdout ?? "", stderr: stderr ?? "" });
    });
    command.on("error", (error: Error, _stdout: string | null, stderr: string | null) => {
      settle();
      // After an abort any wording may come ("killed with signal", "exited with code
      // 255"): all mean cancelled.
      reject(signal?.aborted ? cancelled() : new FfmpegFailure(error.message, stderr ?? ""));
    });
    command.run();
  });
}

/**
 * Keeps one command off fluent-ffmpeg's process-wide state: its own path instead of the global one, no
 * asking for encoders and formats first (0.35 s, and wrong for ffmpeg 7's devices), and line buffers
 * present when a start fails.
 */
function replaceInsides(command: Insides, path: string): void {
  const spawnFfmpeg = command._spawnFfmpeg;
  const none: Lines = { get: () => "" };
  command._getFfmpegPath = (done) => done(null, path);
  command._checkCapabilities = (done) => done();
  command.availableEncoders = (done) => done(null, {});
  command._spawnFfmpeg = function (args, options, started, ended) {
    spawnFfmpeg.call(this, args, options, started, (error, stdout, stderr) =>
      ended(error, stdout ?? none, stderr ?? none),
    );
  };
}

/** The process that a command started. fluent-ffmpeg keeps it where its types do not say. */
function programOf(command: object): ChildProcess | undefined {
  return (command as { readonly ffmpegProc?: ChildProcess }).ffmpegProc;
}

/** fluent-ffmpeg splits a lone argument at its space but takes two or more as they are. */
function twoOrMore(options: readonly string[]): string[] {
  if (options.length < 2) throw new RangeError(`ffmpeg output options come in pairs; got ${options.length}`);
  return [...options];
}
