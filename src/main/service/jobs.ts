import { randomUUID } from "node:crypto";
import type { JobReply } from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { MediaOptions, Progress } from "../media/media.ts";
import { faultFrom } from "./replies.ts";

const KEPT_ENDED = 50; // jobs whose end may still be asked for; a window asks within a second
const SOONEST_ESTIMATE_MS = 500; // before this a rate is guesswork
const SMALLEST_FRACTION = 0.02;

export type JobKind = JobReply["kind"];
/** What a job gives when it is done, as the reply carries it. */
export type JobOutcome = Partial<
  Pick<JobReply, "facts" | "fingerprint" | "differences" | "followed" | "files">
>;

export interface Jobs {
  /** Starts work at once. It must stop when `signal` aborts, and may tell of its progress. */
  start(
    kind: JobKind,
    doing: string,
    work: (options: Required<MediaOptions>) => Promise<JobOutcome>,
  ): JobReply;
  /** @throws FaultError "no-such-job" */
  get(id: string): JobReply;
  /** Stops a running job; one that has ended stays as it ended. @throws FaultError "no-such-job" */
  cancel(id: string): JobReply;
  /** Stops every job and waits until all of them have let go. */
  close(): Promise<void>;
}

interface Job {
  reply: JobReply;
  readonly startedMs: number;
  readonly abort: AbortController;
  readonly ended: Promise<void>;
}

/** @param nowMs a clock that never goes back, ms  @param log told of bugs, with their stacks */
export function createJobs(nowMs: () => number, log: (error: unknown) => void): Jobs {
  const jobs = new Map<string, Job>();

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
    const ended = [...jobs].filter(([, job]) => job.reply.state !== "running");
    for (const [id] of ended.slice(0, Math.max(0, ended.length - KEPT_ENDED))) jobs.delete(id);
  }

  return {
    start(kind, doing, work) {
      const id = randomUUID();
      const abort = new AbortController();
      const update = (change: Partial<JobReply>) => {
        // Once ended (done, failed or cancelled) a job stays as it is: late progress and late ends are dropped.
        if (job.reply.state === "running") job.reply = { ...job.reply, ...change };
      };
      const onProgress = (progress: Progress) => {
        const fraction = Math.min(1, Math.max(job.reply.fraction, progress.fraction));
        update({
          fraction,
          doing: progress.doing,
          secondsLeft: secondsLeft(fraction, nowMs() - job.startedMs),
        });
      };
      const run = async () => {
        try {
          const outcome = await work({ signal: abort.signal, onProgress });
          update({ ...outcome, state: "done", fraction: 1, secondsLeft: 0 });
        } catch (error) {
          update({ state: "failed", secondsLeft: null, error: faultFrom(error, log, abort.signal) });
        }
        forgetOldest();
      };
      const job: Job = {
        reply: {
          id,
          kind,
          state: "running",
          doing,
          fraction: 0,
          secondsLeft: null,
          error: null,
          facts: null,
          differences: null,
          followed: null,
          files: null,
        },
        startedMs: nowMs(),
        abort,
        ended: Promise.resolve().then(run),
      };
      jobs.set(id, job);
      return job.reply;
    },
    get: (id) => find(id).reply,
    cancel(id) {
      const job = find(id);
      if (job.reply.state === "running") {
        job.reply = { ...job.reply, state: "cancelled", secondsLeft: null };
        job.abort.abort();
      }
      return job.reply;
    },
    async close() {
      for (const id of jobs.keys()) this.cancel(id);
      await Promise.all([...jobs.values()].map((job) => job.ended));
    },
  };
}

/** Time left at the mean pace so far, s; null while it would be guesswork. */
function secondsLeft(fraction: number, elapsedMs: number): number | null {
  if (fraction < SMALLEST_FRACTION || elapsedMs < SOONEST_ESTIMATE_MS) return null;
  return ((elapsedMs / 1000) * (1 - fraction)) / fraction;
}
