import { otherSetUpSays } from "../../shared/carry/carry-words.ts";
import { shotPicks } from "../../shared/carry/sought-picks.ts";
import { takeOverEdits } from "../../shared/carry/take-over.ts";
import { launcherModel } from "../../shared/launchers/launcher-models.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import { launcherOf } from "../../shared/session/what-took-part.ts";
import { type AppState, atFrame, atStep, sessionOf, shotOf } from "../app-state/app-state.ts";
import { gaugeField } from "../app-state/asked-fields.ts";
import type { CarriedSetUp } from "../app-state/carried-set-up.ts";
import { modelsFor, offeredSetUp, stillHolds } from "../app-state/offered-set-up.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import type { DocumentActions } from "./document.ts";
import type { Jobs } from "./jobs.ts";

/**
 * Makes a shot as a former one: looks for that one's set-up on its clip, and takes over what is confirmed.
 */
export interface CarryOver {
  /** Looks, where the shot in the window is bare and another one has a set-up. */
  look(): void;
  /** Looks for the set-up of another shot. */
  lookAs(asShotId: string): void;
  /** Takes a pick that is not sure all the same, or not. */
  accept(pickId: string, takes: boolean): void;
  /** Takes over what is sure and what was accepted, as one step of undo, and follows the points. */
  takeOver(): void;
  /** Leaves the shot bare, to be set up by hand. */
  leaveSetUp(): void;
}

export interface CarryOverParts {
  readonly store: Store<AppState>;
  readonly jobs: Pick<Jobs, "runOnDocument">;
  readonly changeAll: DocumentActions["changeAll"];
  readonly followAll: () => Promise<void>;
  /** Told when a shot is to be set up by hand after all. */
  readonly onLeft: () => void;
  readonly onFault: (fault: Fault) => void;
}

/** Key of the work that looks for a former shot's set-up. */
function carryKey(shotId: string): string {
  return `carry ${shotId}`;
}

export function createCarryOver(parts: CarryOverParts): CarryOver {
  const { store, jobs, changeAll, followAll, onLeft, onFault } = parts;
  const get = store.get;

  function put(shotId: string, carried: CarriedSetUp): void {
    store.set({ ...get(), carried: { ...get().carried, [shotId]: carried } });
    if (carried.status === "left" || carried.status === "refused") onLeft();
  }

  async function lookFor(shotId: string, clip: string, asShotId: string): Promise<void> {
    const session = sessionOf(get());
    const former = session.shots.find(({ id }) => id === asShotId);
    if (former === undefined) return;
    const picks = shotPicks(session, former);
    const asked: CarriedSetUp = { asShotId, status: "looking", picks };
    put(shotId, asked);
    const isAsked = () => get().carried[shotId] === asked;
    try {
      const { setUp } = await jobs.runOnDocument(carryKey(shotId), (document) => ({
        kind: "carry",
        clip,
        shotId,
        asShotId,
        document,
      }));
      if (!isAsked()) return;
      if (setUp == null) return put(shotId, { asShotId, status: "left" }); // stopped
      const { outcome, rates } = setUp;
      if (outcome.ok) {
        const found = outcome.value;
        put(shotId, { asShotId, status: "found", picks, found, rates, accepted: new Set() });
        if (get().shotId === shotId) store.set(atFrame(get(), found.frame));
      } else {
        put(shotId, { asShotId, status: "refused", fault: otherSetUpSays(outcome, clip, former.name) });
      }
    } catch (error) {
      if (isAsked()) put(shotId, { asShotId, status: "refused", fault: faultOf(error) });
    }
  }

  function look(): void {
    const state = get();
    const shot = shotOf(state);
    if (state.phase !== "ready" || shot?.clip == null) return;
    const held = state.carried[shot.id];
    if (held !== undefined && stillHolds(state, held)) return;
    if (state.known[shot.clip]?.status !== "known") return; // looked for once it is
    const models = modelsFor(state);
    const model = models.find(({ id }) => id === held?.asShotId) ?? models[0];
    if (model !== undefined) void lookFor(shot.id, shot.clip, model.id);
  }

  return {
    look,
    lookAs(asShotId) {
      const shot = shotOf(get());
      if (shot?.clip != null) void lookFor(shot.id, shot.clip, asShotId);
    },
    accept(pickId, takes) {
      const offered = offeredSetUp(get());
      if (offered?.offer.status !== "found") return;
      const accepted = new Set(offered.offer.accepted);
      if (takes) accepted.add(pickId);
      else accepted.delete(pickId);
      put(offered.shot.id, { ...offered.offer, accepted });
    },
    takeOver() {
      const offered = offeredSetUp(get());
      if (offered?.offer.status !== "found") return;
      const { shot, former, offer } = offered;
      const { found, accepted, rates } = offer;
      const edits = takeOverEdits(sessionOf(get()), shot.id, former.id, { found, accepted, rates });
      changeAll(edits, `Took the set-up of ${former.name} over to ${shot.name}`);
      if (sessionOf(get()).shots.find(({ id }) => id === shot.id) === shot) return; // only looking: nothing was changed
      const launcher = launcherOf(sessionOf(get()), former);
      const hasTank = launcher === null || launcherModel(launcher).hasTank;
      const at = atStep(atFrame(get(), found.frame), hasTank ? "model" : "marks");
      store.set({ ...at, askedField: hasTank ? gaugeField(shot.id) : null });
      followAll().catch((error: unknown) => onFault(faultOf(error)));
    },
    leaveSetUp() {
      const offered = offeredSetUp(get());
      if (offered !== null) put(offered.shot.id, { asShotId: offered.former.id, status: "left" });
    },
  };
}
