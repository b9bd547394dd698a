import type { JobReply, JobRequest } from "../../shared/api/contract.ts";
import type { DeskState } from "./desk-state.ts";
import type { Service } from "./service.ts";
import type { Store } from "./store.ts";

/** Long work: each job stands in `jobs` while it runs and can be stopped by its key. */
export interface DeskJobs {
  run(key: string, request: JobRequest): Promise<JobReply>;
  stop(key: string): void;
}

/** Makes the runner of jobs that keeps the desk's list of them. */
export function createDeskJobs(store: Store<DeskState>, service: Service): DeskJobs {
  const stops = new Map<string, AbortController>();
  const others = (key: string) => store.get().jobs.filter((job) => job.key !== key);
  return {
    async run(key, request) {
      const stop = new AbortController();
      stops.set(key, stop);
      try {
        return await service.job(request, {
          signal: stop.signal,
          onProgress: ({ doing, fraction, secondsLeft }) => {
            const view = { key, doing, fraction, secondsLeft };
            store.set({ ...store.get(), jobs: [...others(key), view] });
          },
        });
      } finally {
        stops.delete(key);
        store.set({ ...store.get(), jobs: others(key) });
      }
    },
    stop: (key) => stops.get(key)?.abort(),
  };
}
