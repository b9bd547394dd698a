import type { JobReply, JobRequest, WindowDocument } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { AppState } from "../app-state/app-state.ts";
import type { FollowedSpan, FollowJob, JobView, Service } from "../host/service.ts";
import type { Store } from "../store/store.ts";
import { lookAtDamage } from "./known-damage.ts";

/** Long work of the service: each job stands in `jobs` while it runs and can be stopped by its key. */
export interface Jobs {
  run(key: string, request: JobRequest): Promise<JobReply>;
  /** The same for a job on the document as it is now. */
  runOnDocument(key: string, request: (document: WindowDocument) => JobRequest): Promise<JobReply>;
  /** The same for a job that another window started. */
  adopt(key: string, id: string): Promise<JobReply>;
  /** Tells the service that the result of a job is taken, as soon as the document it went into is saved. */
  take(job: JobReply): Promise<void>;
  stop(key: string): void;
}

/** What the runner needs of the document that results go into. */
export interface JobsDocument {
  /** Saves what is not saved yet. */
  saveNow(): Promise<void>;
  /** The present state, saved or not, as it is named to the service. */
  named(): Promise<WindowDocument>;
  /**
   * Puts the present state back in the window where an earlier one is looked at: results
   * belong to the present one.
   */
  present(): void;
}

const NO_DOCUMENT: JobsDocument = {
  saveNow: async () => {},
  named: async () => ({ revision: "none", steps: [] }),
  present() {},
};

const NAMED_AGAIN = 3; // times, when a save comes in between naming the document and the service's reading it

/** Makes the runner of jobs that keeps the window's list of them. */
export function createJobs(
  store: Store<AppState>,
  service: Service,
  document: JobsDocument = NO_DOCUMENT,
): Jobs {
  const stops = new Map<string, AbortController>();
  const others = (key: string) => store.get().jobs.filter((job) => job.key !== key);
  const show = (view: JobView) => store.set({ ...store.get(), jobs: [...others(view.key), view] });

  async function shown(key: string, work: (follow: FollowJob) => Promise<JobReply>): Promise<JobReply> {
    const stop = new AbortController();
    stops.set(key, stop);
    try {
      const job = await work({
        signal: stop.signal,
        onProgress: (job) => {
          const { state, doing, fraction, secondsLeft } = job;
          if (state === "running") show({ key, doing, fraction, secondsLeft, follows: followsOf(job) });
        },
      });
      if (job.about != null && isOurs(job)) document.present();
      return job;
    } finally {
      stops.delete(key);
      store.set({ ...store.get(), jobs: others(key) });
    }
  }

  return {
    async run(key, request) {
      try {
        return await shown(key, (follow) => service.job(request, follow));
      } finally {
        if ("clip" in request) void lookAtDamage(store, service, request.clip);
      }
    },
    runOnDocument: (key, request) =>
      shown(key, async (follow) => {
        // so that it is not started twice
        show({ key, doing: "Saving the session", fraction: 0, secondsLeft: null });
        for (let tries = 1; ; tries++) {
          try {
            return await service.job(request(await document.named()), follow);
          } catch (error) {
            const movedOn = error instanceof FaultError && error.fault.code === "session-moved-on";
            if (!movedOn || tries === NAMED_AGAIN || store.get().save.status === "conflict") throw error;
          }
        }
      }),
    adopt: (key, id) => shown(key, (follow) => service.adopt(id, follow)),
    async take({ id, about, taken }) {
      if (about == null || taken) return; // nothing waits
      await document.saveNow();
      await untilSaved(store);
      // When nobody answers, it waits for the next window, which finds that it has the marks already.
      await service.taken(id).catch(() => {});
    },
    stop: (key) => stops.get(key)?.abort(),
  };
}

function followsOf({ about, reached }: JobReply): readonly FollowedSpan[] {
  if (about?.kind !== "follow") return [];
  const { shotId } = about;
  return about.ways.map(({ pointId, seed: { frame }, to }, i) => ({
    ...{ shotId, pointId, to },
    from: frame,
    reached: reached?.[i] ?? frame,
  }));
}

/** Whether what a job came to is this window's to use. */
export function isOurs({ state, taken, heldElsewhere }: JobReply): boolean {
  return state === "done" && !taken && !heldElsewhere;
}

function untilSaved(store: Store<AppState>): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      if (store.get().save.status !== "saved") return;
      end();
      resolve();
    };
    const end = store.subscribe(look);
    look();
  });
}
