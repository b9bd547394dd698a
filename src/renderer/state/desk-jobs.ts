import type { JobReply, JobRequest } from "../../shared/api/contract.ts";
import { lookAtDamage } from "./desk-damage.ts";
import type { DeskState } from "./desk-state.ts";
import type { JobView, Service } from "./service.ts";
import type { Store } from "./store.ts";

const SMALLEST_FRACTION = 0.05; // below it the time left would be guesswork

/** Long work: each job stands in `jobs` while it runs and can be stopped by its key. */
export interface DeskJobs {
  run(key: string, request: JobRequest): Promise<JobReply>;
  /** The same for work of the window itself, which tells how far it is. */
  follow<T>(
    key: string,
    doing: string,
    work: (signal: AbortSignal, onFraction: (fraction: number) => void) => Promise<T>,
  ): Promise<T>;
  stop(key: string): void;
}

/** Makes the runner of jobs that keeps the desk's list of them. */
export function createDeskJobs(store: Store<DeskState>, service: Service): DeskJobs {
  const stops = new Map<string, AbortController>();
  const others = (key: string) => store.get().jobs.filter((job) => job.key !== key);
  const show = (view: JobView) => store.set({ ...store.get(), jobs: [...others(view.key), view] });
  return {
    async follow(key, doing, work) {
      const stop = new AbortController();
      stops.set(key, stop);
      const startedMs = performance.now();
      show({ key, doing, fraction: 0, secondsLeft: null });
      try {
        return await work(stop.signal, (fraction) => {
          const elapsedS = (performance.now() - startedMs) / 1000;
          const secondsLeft = fraction > SMALLEST_FRACTION ? (elapsedS * (1 - fraction)) / fraction : null;
          show({ key, doing, fraction, secondsLeft });
        });
      } finally {
        stops.delete(key);
        store.set({ ...store.get(), jobs: others(key) });
      }
    },
    async run(key, request) {
      const stop = new AbortController();
      stops.set(key, stop);
      try {
        return await service.job(request, {
          signal: stop.signal,
          onProgress: ({ doing, fraction, secondsLeft }) => {
            show({ key, doing, fraction, secondsLeft });
          },
        });
      } finally {
        stops.delete(key);
        store.set({ ...store.get(), jobs: others(key) });
        if ("clip" in request) void lookAtDamage(store, service, request.clip);
      }
    },
    stop: (key) => stops.get(key)?.abort(),
  };
}
