import type { Fault } from "../../shared/quantity/notice.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { AppNotice, AppState } from "../app-state/app-state.ts";
import type { WaitingResult } from "../app-state/waiting-result.ts";
import type { Service } from "../host/service.ts";
import type { Store } from "../store/store.ts";
import type { DocumentActions } from "./document.ts";
import { drawShot } from "./draw-inputs.ts";
import { settleOffer } from "./finished-jobs.ts";
import { doubtAccepted, followAll, followPoint } from "./follow-point.ts";
import type { Jobs } from "./jobs.ts";
import { tuneLauncher } from "./tune-launcher.ts";

interface JobParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly service: Service;
  readonly change: DocumentActions["change"];
  readonly tell: (level: AppNotice["level"], fault: Fault) => void;
}

/** Long work: what starts it, stops it, and takes what it came to. */
export function createJobActions(working: JobParts) {
  const { store, jobs, change, tell } = working;
  const get = store.get;
  const onFault = (fault: Fault) => tell("warning", fault);
  return {
    runJob: jobs.run,
    takeResult: jobs.take,
    drawInputs: () => drawShot(store, jobs, onFault),
    tune: (request: TuneRequest) => tuneLauncher(working, request),
    /** Takes a result that waits into the document, or discards it. */
    settleOffer: (offered: WaitingResult, what: "take" | "discard") => settleOffer(working, offered, what),
    /** Follows the current point from its nearest hand mark, onwards or backwards in time. */
    follow: (back: boolean) => followPoint({ store, jobs, change, onFault }, back),
    /** Follows every point with a hand mark, both ways. */
    followAll: () => followAll({ store, jobs, change, onFault }),
    acceptDoubt: (key: string, frame: number | null) => store.set(doubtAccepted(get(), key, frame)),
    stopJob: jobs.stop,
  };
}
