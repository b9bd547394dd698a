import type { SessionReply } from "../../shared/api/contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import { type History, startHistory } from "../../shared/session/history.ts";
import { afterSteps, type JournalStep } from "../../shared/session/journal.ts";
import { sameJson } from "../../shared/session/patch.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { AppState, Offer } from "../app-state/app-state.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Unsaved, UnsavedNotes } from "../saving/unsaved-notes.ts";
import type { Store } from "../store/store.ts";

interface EarlierStatesParts {
  readonly store: Store<AppState>;
  readonly service: Service;
  readonly unsaved: UnsavedNotes;
  readonly timeNow: () => string;
  readonly onFault: (fault: Fault) => void;
  /** Puts another history in the window; nothing is saved of that. */
  readonly show: (history: History) => void;
  /** Makes a state the present one, as one step of undo that is saved. */
  readonly take: (session: Session, says: string) => void;
}

/**
 * Other states of the document than its present one: those of the history, and those
 * that are offered on opening.
 */
export function createEarlierStates(parts: EarlierStatesParts) {
  const { store, service, unsaved, timeNow, onFault, show, take } = parts;
  const get = store.get;
  const patch = (part: Partial<AppState>) => store.set({ ...get(), ...part });

  /** The history as it really is, also while another state is looked at. */
  function ownHistory(): History {
    return get().peek?.kept ?? get().history;
  }

  /** Puts an earlier state in the window to look at; nothing is changed until it is taken. */
  function look(session: Session, says: string, at: string): void {
    patch({ peek: { says, at, kept: ownHistory() } });
    show(startHistory(session));
  }

  async function lookAt(moment: { readonly id: string; readonly says: string; readonly at: string }) {
    try {
      look(await service.moment(moment.id), moment.says, moment.at);
    } catch (error) {
      onFault(faultOf(error));
    }
  }

  /** Looks at what was offered. */
  async function lookAtOffer(offer: Offer): Promise<void> {
    if (offer.kind === "outside") {
      await lookAt({
        id: offer.moment,
        says: "The session before another program changed it",
        at: timeNow(),
      });
    } else if (offer.session !== null) {
      look(offer.session, `What was not saved: ${offer.says.at(-1)}`, offer.at);
    }
    const { peek } = get();
    if (peek !== null) patch({ peek: { ...peek, offer: offer.id } });
  }

  function endPeek(): void {
    const { peek } = get();
    if (peek === null) return;
    patch({ peek: null });
    show(peek.kept);
  }

  /** The state that is looked at becomes the present one, as one step of undo. */
  function takePeek(): void {
    const { peek, history } = get();
    if (peek === null) return;
    const session = history.present;
    endPeek();
    take(session, `Went back to: ${peek.says}`);
    if (peek.offer !== undefined) dropOffer(peek.offer);
  }

  function dropOffer(id: string): void {
    const { offers } = get();
    if (offers.some((offer) => offer.id === id && offer.kind === "unsaved")) unsaved.forget(id);
    patch({ offers: offers.filter((offer) => offer.id !== id) });
  }

  /**
   * What closed pages could not save, and did not reach the folder after all; it stays
   * until the person has decided.
   */
  function unsavedOffers(
    folder: string,
    reply: SessionReply,
    saved: readonly JournalStep[],
  ): readonly Offer[] {
    return unsaved.left(folder).flatMap(({ id, note }): readonly Offer[] => {
      const last = note.steps.at(-1);
      const arrived = saved.some((step) => step.at === last?.at && sameJson(step.patch, last.patch));
      const session = arrived ? null : sessionOfNote(note, reply);
      if (last === undefined || arrived || (session !== null && sameJson(session, reply.session))) {
        unsaved.forget(id);
        return [];
      }
      return [{ id, kind: "unsaved", says: note.steps.map(({ says }) => says), at: last.at, session }];
    });
  }

  return { ownHistory, unsavedOffers, lookAt, lookAtOffer, endPeek, takePeek, dropOffer };
}

/** The document that a note holds, or leads to from the folder's; null when it cannot be told. */
function sessionOfNote({ baseRevision, steps, session }: Unsaved, reply: SessionReply): Session | null {
  if (session !== undefined) return session;
  return baseRevision === reply.revision ? afterSteps(reply.session, steps) : null;
}
