import type { Fault } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import { faultOf } from "./autosave.ts";
import type { DeskJobs } from "./desk-jobs.ts";
import { type DeskState, factsOf, sessionOf } from "./desk-state.ts";
import type { FollowDraws } from "./draw-in-worker.ts";
import type { DrawRequest } from "./draw-worker.ts";
import type { Store } from "./store.ts";

/** Draws for one check: the u they give is good to 2 %. */
export const DRAWS = 1000;

export type DrawInputs = (request: DrawRequest, follow: FollowDraws) => Promise<ShotResult | null>;

/** Key of the work that draws a shot's inputs. */
export function drawKey(shotId: string): string {
  return `draw ${shotId}`;
}

/**
 * Draws all inputs of the shot on the desk and puts the result in its place, unless the document has changed meanwhile: then it would
 * be the result of something else.
 */
export async function drawShot(
  store: Store<DeskState>,
  jobs: DeskJobs,
  draw: DrawInputs,
  onFault: (fault: Fault) => void,
): Promise<void> {
  const state = store.get();
  const { shotId } = state;
  if (shotId === null || state.jobs.some((job) => job.key === drawKey(shotId))) return;
  const session = sessionOf(state);
  const request = { session, shotId, facts: factsOf(state), draws: DRAWS };
  try {
    const result = await jobs.follow(drawKey(shotId), "Drawing all inputs", (signal, onFraction) =>
      draw(request, { signal, onDraw: (done) => onFraction(done / DRAWS) }),
    );
    const now = store.get();
    if (result === null || sessionOf(now) !== session) return;
    store.set({ ...now, results: { ...now.results, [shotId]: result } });
  } catch (error) {
    onFault(faultOf(error));
  }
}
