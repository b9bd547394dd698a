import { randomUUID } from "node:crypto";
import { setMaxListeners } from "node:events";
import type { JobAbout, JobReply } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { MediaOptions, Progress } from "../media/media.ts";
import type { KeptResults } from "./kept-results.ts";
import { faultFrom } from "./replies.ts";

const KEPT_ENDED = 50; // jobs whose end may still be asked for; a window asks within a second
const SOONEST_ESTIMATE_MS = 500; // before this a rate is guesswork
const SMALLEST_FRACTION = 0.02;
// a window asks several times a second; one that was silent so long was closed, or sleeps
const HOLD_MS = 5000;

export type JobKind = JobReply["kind"];
/** What a job gives when it is done, as the reply carries it. */
export type JobOutcome = Partial<
  Pick<
    JobReply,
    | "facts"
    | "fingerprint"
    | "differences"
    | "camera"
    | "proposals"
    | "movement"
    | "setUp"
    | "followed"
    | "tuned"
    | "drawn"
    | "outing"
    | "files"
  >
>;

/** What is started, and by whom. */
export interface JobStart {
  readonly kind: JobKind;
  readonly doing: string;
  /** What the result belongs to; null when nobody but the window that asked has a use for it. */
  readonly about?: JobAbout | null;
  /** The window that asks, as it names itself; "" for a program that does not. */
  readonly window?: string;
  /** Stopped, it ends as done with what it has until then, where `stop` is heard. */
  readonly keepsWhenStopped?: boolean;
}

/** What work hears of: `signal` ends it, `stop` asks it to end with what it has. */
export interface JobWork extends Required<MediaOptions> {
  readonly stop: AbortSignal;
}

/**
 * The jobs of one folder. A result that belongs to something waits until it is taken, on the disk too; a
 * window that holds the job is the one that takes it.
 */
export interface Jobs {
  /** Starts work at once. It must stop when `signal` aborts, and may tell of its progress. */
  start(start: JobStart, work: (options: JobWork) => Promise<JobOutcome>): JobReply;
  /** Those that run and those whose result waits; of work that has a result to wait. The oldest first. */
  list(window: string): readonly JobReply[];
  /** @throws FaultError "no-such-job" */
  get(id: string, window: string): JobReply;
  /**
   * Makes the window the one that takes the result, unless another one does. @throws FaultError "no-such-job"
   */
  hold(id: string, window: string): Promise<JobReply>;
  /**
   * Stops a running job; one that keeps what it has runs until it has given that. One that has ended stays as
   * it ended, and its result is taken: it waits no longer.
   * @throws FaultError "no-such-job"
   */
  cancel(id: string, window: string): Promise<JobReply>;
  /** Stops every job and waits until all of them have let go. */
  close(): Promise<void>;
}

interface Job {
  reply: JobReply;
  readonly startedMs: number;
  readonly abort: AbortController;
  /** Null where work that is stopped has nothing to give. */
  readonly stop: AbortController | null;
  ended: Promise<void>;
  holder: string;
  heardMs: number;
  /** Its result was written down: when it is gone from there, somebody took it. */
  onDisk: boolean;
}

export interface JobsSetup {
  /** A clock that never goes back, ms. */
  readonly nowMs: () => number;
  /** The time of day, ISO 8601. */
  readonly nowIso: () => string;
  /** Told of bugs, with their stacks. */
  readonly log: (error: unknown) => void;
  readonly kept: KeptResults;
  /** Results that waited when the folder was opened, the oldest first. */
  readonly waiting: readonly JobReply[];
}

export function createJobs({ nowMs, nowIso, log, kept, waiting }: JobsSetup): Jobs {
  const jobs = new Map<string, Job>();
  for (const reply of waiting) {
    const ended = Promise.resolve();
    const nobody = { startedMs: 0, abort: new AbortController(), stop: null, ended, holder: "", heardMs: 0 };
    jobs.set(reply.id, { ...nobody, reply, onDisk: true });
  }

  function find(id: string): Job {
    const job = jobs.get(id);
    if (job !== undefined) return job;
    throw new FaultError(
      "no-such-job",
      "There is no such job, or it ended long ago.",
      "Start the work again if you still want it.",
    );
  }

  function forgetOldest(): void {
    const over = [...jobs].filter(([, { reply }]) => reply.state !== "running" && !waits(reply));
    for (const [id] of over.slice(0, Math.max(0, over.length - KEPT_ENDED))) jobs.delete(id);
  }

  /** The job as a window sees it; this counts as a sign of life from the window that holds it. */
  function seenBy(job: Job, window: string): JobReply {
    if (window !== "" && job.holder === window) job.heardMs = nowMs();
    return { ...job.reply, heldElsewhere: isHeldElsewhere(job, window) };
  }

  function isHeldElsewhere({ holder, heardMs }: Job, window: string): boolean {
    return holder !== "" && holder !== window && nowMs() - heardMs < HOLD_MS;
  }

  function endNow(job: Job): void {
    job.reply = { ...job.reply, state: "cancelled", secondsLeft: null, endedAt: nowIso() };
    job.abort.abort();
  }

  async function take(job: Job): Promise<void> {
    if (job.reply.about === null || job.reply.taken) return;
    job.reply = { ...job.reply, taken: true };
    await kept.remove(job.reply.id);
    forgetOldest();
  }

  return {
    start({ kind, doing, about = null, window = "", keepsWhenStopped = false }, work) {
      const [abort, stop] = [new AbortController(), new AbortController()];
      setMaxListeners(0, abort.signal); // every shot of the work listens: there may be thousands
      const update = (change: Partial<JobReply>) => {
        // Once ended (done, failed or cancelled) a job stays as it is: late progress
        // and late ends are dropped.
        if (job.reply.state === "running") job.reply = { ...job.reply, ...change };
      };
      const onProgress = (progress: Progress) => {
        const fraction = Math.min(1, Math.max(job.reply.fraction, progress.fraction));
        update({
          fraction,
          doing: progress.doing,
          secondsLeft: secondsLeft(fraction, nowMs() - job.startedMs),
          ...(progress.reached === undefined ? {} : { reached: [...progress.reached] }),
        });
      };
      /** Written down before it is told, so that whoever has seen it done finds it again. */
      const end = async (change: Partial<JobReply>) => {
        if (job.reply.state !== "running") return;
        const ended = { ...job.reply, ...change, endedAt: nowIso() };
        if (about !== null) {
          job.onDisk = await kept.keep(ended).then(
            () => true,
            (error: unknown) => {
              log(error);
              return false; // it waits in memory, as long as the host runs
            },
          );
        }
        if (job.reply.state === "running") job.reply = ended;
        else await kept.remove(ended.id);
      };
      const run = async () => {
        try {
          const outcome = await work({ signal: abort.signal, stop: stop.signal, onProgress });
          await end({ ...outcome, state: "done", fraction: 1, secondsLeft: 0 });
        } catch (error) {
          await end({ state: "failed", secondsLeft: null, error: faultFrom(error, log, abort.signal) });
        }
        forgetOldest();
      };
      const job: Job = {
        reply: { ...BLANK, id: randomUUID(), kind, doing, about },
        startedMs: nowMs(),
        abort,
        stop: keepsWhenStopped ? stop : null,
        ended: Promise.resolve(),
        holder: window,
        heardMs: nowMs(),
        onDisk: false,
      };
      jobs.set(job.reply.id, job);
      job.ended = Promise.resolve().then(run);
      return seenBy(job, window);
    },
    list: (window) =>
      [...jobs.values()]
        .filter(({ reply }) => reply.about !== null && (reply.state === "running" || waits(reply)))
        .map((job) => seenBy(job, window)),
    get: (id, window) => seenBy(find(id), window),
    async hold(id, window) {
      const job = find(id);
      // Another host of this person may have taken what was found on the disk.
      if (waits(job.reply) && job.onDisk && !(await kept.has(id))) await take(job);
      if (!isHeldElsewhere(job, window)) job.holder = window;
      return seenBy(job, window);
    },
    async cancel(id, window) {
      const job = find(id);
      if (job.reply.state !== "running") await take(job);
      else if (job.stop !== null) job.stop.abort();
      else endNow(job);
      return seenBy(job, window);
    },
    async close() {
      for (const job of jobs.values()) if (job.reply.state === "running") endNow(job);
      await Promise.all([...jobs.values()].map((job) => job.ended));
    },
  };
}

/** A job that has just been started. */
const BLANK = {
  state: "running",
  fraction: 0,
  secondsLeft: null,
  error: null,
  facts: null,
  differences: null,
  followed: null,
  tuned: null,
  drawn: null,
  files: null,
  endedAt: null,
  heldElsewhere: false,
  taken: false,
} as const;

/** Whether a result is there for whoever comes next. */
function waits({ about, state, taken }: JobReply): boolean {
  return about !== null && !taken && (state === "done" || state === "failed");
}

/** Time left at the mean pace so far, s; null while it would be guesswork. */
function secondsLeft(fraction: number, elapsedMs: number): number | null {
  if (fraction < SMALLEST_FRACTION || elapsedMs < SOONEST_ESTIMATE_MS) return null;
  return ((elapsedMs / 1000) * (1 - fraction)) / fraction;
}
