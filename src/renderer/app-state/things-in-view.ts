import type { ListedAirframe, ListedLauncher, Session } from "../../shared/session/schema.ts";
import { airframeOf, launcherOf, pointsOf } from "../../shared/session/what-took-part.ts";
import { type AppState, sessionOf, shotOf } from "./app-state.ts";

/** The airframe that the shot in the window threw; without a shot the session's first. */
export function airframeInView(state: AppState): ListedAirframe {
  return airframeOf(sessionOf(state), shotOf(state));
}

/** What threw the shot in the window; null when not said, or without a shot. */
export function launcherInView(state: AppState): ListedLauncher | null {
  return launcherOf(sessionOf(state), shotOf(state));
}

/** The points by which the shot in the window can be marked. */
export function pointsInView(state: AppState): Session["points"] {
  return pointsOf(sessionOf(state).points, airframeInView(state).id);
}

/**
 * The airframe or launcher in view that the number at a path of the table of inputs belongs to, by its id;
 * empty for a number of something else. What is typed for one is never taken for another.
 */
export function ownerOf(path: string | undefined, state: AppState): string {
  if (path?.startsWith("airframe.") === true) return airframeInView(state).id;
  return path?.startsWith("launcher.") === true ? (launcherInView(state)?.id ?? "") : "";
}
