import { isBare, likelyModels, type ShotPick, shotPicks } from "../../shared/carry/sought-picks.ts";
import { sameJson } from "../../shared/session/patch.ts";
import type { Shot } from "../../shared/session/schema.ts";
import { type AppState, sessionOf, shotOf } from "./app-state.ts";
import type { CarriedSetUp } from "./carried-set-up.ts";
import { standingOf } from "./clip-standing.ts";

/** A former shot's set-up as it is offered for the shot in the window. */
export interface OfferedSetUp {
  readonly shot: Shot;
  readonly former: Shot;
  readonly offer: CarriedSetUp;
  /** What was picked in the former shot. */
  readonly picks: readonly ShotPick[];
}

/** Null where nothing is offered: the shot has a set-up, or no other one has. */
export function offeredSetUp(state: AppState): OfferedSetUp | null {
  const shot = shotOf(state);
  const offer = shot === null ? undefined : state.carried[shot.id];
  if (shot === null || offer === undefined || offer.status === "left" || !isBare(shot)) return null;
  const session = sessionOf(state);
  const former = session.shots.find(({ id }) => id === offer.asShotId);
  return former === undefined ? null : { shot, former, offer, picks: shotPicks(session, former) };
}

/**
 * The shots that the one in the window can be made as, the likeliest first; none where it is not bare. One
 * whose clip is another by now shows nothing of what was picked in it.
 */
export function modelsFor(state: AppState): readonly Shot[] {
  const shot = shotOf(state);
  if (shot === null || !isBare(shot)) return [];
  return likelyModels(sessionOf(state), shot).filter(
    ({ clip }) => clip !== null && standingOf(state, clip) !== "other",
  );
}

/** Whether what was found still stands for the former shot: it is there, and has the picks it had. */
export function stillHolds(state: AppState, carried: CarriedSetUp): boolean {
  if (carried.status === "left") return true;
  const session = sessionOf(state);
  const former = session.shots.find(({ id }) => id === carried.asShotId);
  if (former === undefined) return false;
  return carried.status === "refused" || sameJson(carried.picks, shotPicks(session, former));
}
