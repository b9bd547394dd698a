import { type KeyedResult, resultKey } from "../../shared/measure/result-key.ts";
import { filmedShot } from "../../shared/session/filmed-shot.ts";
import { launchInputs } from "../../shared/session/launch-inputs.ts";
import type { Service } from "../host/service.ts";
import type { MeasureShot } from "../workers/measure-in-worker.ts";
import type { MeasureRequest } from "../workers/measure-worker.ts";

/**
 * Measures, or gives what the folder's cache holds of the very same inputs: a day that is opened again stands
 * there at once. Whole results are kept in turn. A cache that does not answer costs time, nothing else.
 */
export function recalling(
  measure: MeasureShot,
  service: Pick<Service, "measured" | "keepMeasured">,
): MeasureShot {
  let asked: Promise<Map<string, KeyedResult>> | null = null;
  const kept = () => {
    asked ??= service.measured().then(
      (all) => new Map(all.map(({ shotId, key, result }) => [shotId, { key, result }])),
      () => new Map(),
    );
    return asked;
  };
  return async (request, signal) => {
    const key = keyOf(request);
    if (key === null) return measure(request, signal);
    const { shotId } = request;
    const known = await kept();
    signal.throwIfAborted();
    const found = known.get(shotId);
    if (found?.key === key) return found.result;
    const result = await measure(request, signal);
    known.set(shotId, { key, result });
    void service.keepMeasured({ shotId, key, result }).catch(() => {});
    return result;
  };
}

/** Null for what is not a whole measurement of a clip that may be measured. */
function keyOf({ session, shotId, facts, how, refused }: MeasureRequest): string | null {
  const shot = session.shots.find(({ id }) => id === shotId);
  if (how !== "full" || refused !== null || facts === null || shot === undefined) return null;
  return resultKey(filmedShot(session, shot), launchInputs(session, shot), facts);
}
