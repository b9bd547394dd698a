import type { Measured } from "../../shared/quantity/measured.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import * as state from "../app-state/app-state.ts";
import { NO_PICKS, type PendingPicks, type Sketch } from "../app-state/picked-so-far.ts";
import { lampTurned } from "../picking/lamp-changes.ts";
import type { Picked } from "../picking/picked.ts";
import { activeHandle, movedTo, pickedAt, placeOf, removed, rodTyped } from "../picking/picks.ts";
import { frameOfProposals, type Proposal, proposalTaken } from "../picking/proposed.ts";
import { controlTyped } from "../picking/reference-picks.ts";
import type { Store } from "../store/store.ts";
import type { DocumentActions } from "./document.ts";

/** What is placed, moved and removed on the picture, and what is typed of it. */
export function createPicking(
  store: Store<state.AppState>,
  { change, goOn }: Pick<DocumentActions, "change"> & { readonly goOn: () => void },
) {
  const get = store.get;
  const patch = (part: Partial<state.AppState>) => store.set({ ...get(), ...part });

  function take(picked: Picked | null, key: string | null = null): void {
    if (picked === null) return;
    if (picked.edit === null) {
      store.set({ ...picked.state, frameChosen: true });
      return;
    }
    // The edit first: what the state selects must be there when it is looked at.
    const { history } = get();
    store.set({ ...picked.state, history, frameChosen: true });
    const hadPlumb = state.shotOf(get())?.plumb != null;
    change(picked.edit, key);
    const isPlumb = picked.edit.kind === "update-shot" && picked.edit.patch.plumb != null;
    if (isPlumb && !hadPlumb) goOn(); // the last that a scale lacks
  }

  /** Picks in progress are let go of; a length that was typed is not. */
  function withoutPicks(): PendingPicks {
    return { ...NO_PICKS, rodM: get().pending.rodM };
  }

  return {
    afterMark: (afterMark: state.AfterMark) => patch({ afterMark }),
    select: (selected: state.Handle | null) => patch({ selected }),
    choosePick: (pick: state.Pick | null) => patch({ pick, pending: withoutPicks() }),
    /** @param foundU px, where the place was found in the picture */
    pickAt: (at: PxPoint, foundU: number | null = null) => take(pickedAt(get(), at, foundU)),
    /** Takes what was found in the picture for what is picked now. */
    takeProposal: (proposal: Proposal) => take(proposalTaken(get(), proposal)),
    /** Lights the next of what was found, or goes to the frame it was found in. */
    lightProposal(by: 1 | -1) {
      const elsewhere = frameOfProposals(get());
      if (elsewhere === null) patch({ lit: get().lit + by });
      else store.set({ ...state.atFrame(get(), elsewhere), lit: 0, frameChosen: true });
    },
    snap: (snaps: boolean) => patch({ snaps }),
    moveTo: (handle: state.Handle, at: PxPoint) => take(movedTo(get(), handle, at)),
    nudge(dx: number, dy: number) {
      const handle = activeHandle(get());
      const from = handle === null ? null : placeOf(get(), handle);
      if (handle === null || from === null) return;
      const key = `nudge ${JSON.stringify(handle)} ${get().shotId} ${get().frame}`;
      take(movedTo(get(), handle, [from[0] + dx, from[1] + dy]), key);
    },
    remove() {
      const handle = activeHandle(get());
      take(handle === null ? null : removed(get(), handle));
    },
    /** Lets go of what is in progress; the step's own pick starts afresh. */
    cancel() {
      patch({ pending: withoutPicks(), selected: null, playing: false });
      patch({ pick: state.pickFor(get(), get().step) });
    },
    removeHandle: (handle: state.Handle) => take(removed(get(), handle)),
    typeControl: (at: number, part: { readonly xM?: number; readonly yM?: number }) =>
      take(controlTyped(get(), at, part)),
    /** Notes that the lamp changes in a frame, or takes that back. */
    turnLamp(frame: number) {
      const shot = state.shotOf(get());
      if (shot?.lamp === undefined) return;
      change({ kind: "update-shot", shotId: shot.id, patch: { lamp: lampTurned(shot.lamp, frame) } });
    },
    sketch: (part: Partial<Sketch>) => patch({ sketch: { ...get().sketch, ...part } }),
    /** The field that was asked for has the focus. */
    answered: () => patch({ askedField: null }),
    typeRod: (rodM: Measured) => take(rodTyped(get(), rodM)),
  };
}
