import type { TunedLauncher } from "../../shared/api/outcome-schemas.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { MediaOptions } from "../media/media.ts";
import type { JobParts } from "./job-parts.ts";
import { trackShots } from "./track-shots.ts";

const PATIENCE_MS = 300_000; // many inputs on many shots take half a minute on a slow machine
const READING = 0.6; // share of the work

/**
 * Tunes a session's launcher as asked, on threads.
 * @throws FaultError when it cannot be tuned so
 */
export async function tuneOnShots(
  parts: Pick<JobParts, "folder" | "factsOf" | "workers" | "log">,
  session: Session,
  request: TuneRequest,
  { signal, onProgress }: Required<MediaOptions>,
): Promise<TunedLauncher> {
  const shotIds = [...request.shotIds, ...request.heldOutShotIds];
  const { tracks } = await trackShots(parts, session, shotIds, {
    signal,
    onProgress: ({ fraction, doing }) => onProgress({ fraction: READING * fraction, doing }),
  });
  onProgress({ fraction: READING, doing: "Fitting the launcher" });
  const task = { kind: "tune", request, tracks } as const;
  const outcome = await parts.workers.run(session, task, { signal, patienceMs: PATIENCE_MS });
  if (!outcome.ok) throw new FaultError(outcome.fault.code, outcome.fault.cause, outcome.fault.remedy);
  const { tuning, ...others } = outcome.value;
  // A reply is JSON, which has no typed arrays.
  return { ...others, tuning: { ...tuning, correlation: [...tuning.correlation] } } as TunedLauncher;
}
