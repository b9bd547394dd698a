import type { Fault } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import { shotRestsOn } from "../../shared/session/rests-on.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { isOurs, type Jobs } from "./jobs.ts";

/** Draws for one check: the u they give is good to 2 %. */
export const DRAWS = 1000;

/** Key of the work that draws a shot's inputs. */
export function drawKey(shotId: string): string {
  return `draw ${shotId}`;
}

/**
 * Draws all inputs of the shot in the window and puts the result in its place, unless what it rests on has
 * changed meanwhile: then it would be the result of something else.
 */
export async function drawShot(
  store: Store<AppState>,
  jobs: Jobs,
  onFault: (fault: Fault) => void,
): Promise<void> {
  const state = store.get();
  const { shotId } = state;
  if (shotId === null || state.jobs.some((job) => job.key === drawKey(shotId))) return;
  try {
    const job = await jobs.runOnDocument(drawKey(shotId), (document) => ({
      kind: "draw",
      document,
      shotId,
      draws: DRAWS,
    }));
    if (!isOurs(job) || job.drawn === null || job.about?.kind !== "draw") return;
    setDrawn(store, job.drawn, job.about.restsOn);
    await jobs.take(job);
  } catch (error) {
    onFault(faultOf(error));
  }
}

/** Shows a drawn result when the document still has what it rests on. @returns whether it has */
export function setDrawn(store: Store<AppState>, drawn: ShotResult, restsOn: string): boolean {
  const now = store.get();
  if (shotRestsOn(sessionOf(now), drawn.shotId) !== restsOn) return false;
  store.set({ ...now, results: { ...now.results, [drawn.shotId]: drawn } });
  return true;
}
