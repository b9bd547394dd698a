import type { Edit } from "../../shared/session/edits.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import type { Jobs } from "./jobs.ts";

/** Key of the work that reads another outing. */
export const OUTING_KEY = "outing";

interface OutingParts {
  readonly store: Store<AppState>;
  readonly service: Service;
  readonly jobs: Jobs;
  readonly change: (edit: Edit) => void;
}

/** What names other outings and reads them. */
export function createOutingActions({ store, service, jobs, change }: OutingParts) {
  const get = store.get;
  const show = (part: Partial<AppState["outings"]>) =>
    store.set({ ...get(), outings: { ...get().outings, ...part } });

  async function lookAtOutings(): Promise<void> {
    if (sessionOf(get()).outings === undefined) return;
    try {
      show({ standings: await service.outings() });
    } catch (error) {
      show({ fault: faultOf(error) });
    }
  }

  return {
    /** Sees whether the folders of other outings are there, and as they were read. */
    lookAtOutings,
    /**
     * Measures the shots of another folder and keeps what is needed of them.
     * @param outingId of the outing that is read again; null to name another one
     * @returns whether it did
     */
    async readOuting(path: string, outingId: string | null): Promise<boolean> {
      if (get().jobs.some(({ key }) => key === OUTING_KEY)) return false;
      show({ fault: null });
      try {
        const { outing } = await jobs.runOnDocument(OUTING_KEY, (document) => ({
          kind: "outing",
          document,
          path,
          outingId,
        }));
        if (outing == null) return false;
        change({ kind: "set-outing", outing });
        show({ standings: { ...get().outings.standings, [outing.id]: "same" } });
        return true;
      } catch (error) {
        show({ fault: faultOf(error) });
        return false;
      }
    },
  };
}
