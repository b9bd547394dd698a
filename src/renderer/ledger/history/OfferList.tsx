import { useActions, useAppState } from "../../actions/app-context.ts";
import type { Offer } from "../../app-state/app-state.ts";
import { momentTime } from "./moment-time.ts";

const SHOWN = 3; // of the unsaved steps; the last ones are what a person remembers

/** States that would be lost unless they are taken: each can be looked at first. */
export function OfferList() {
  const actions = useActions();
  const offers = useAppState((s) => s.offers);
  const looking = useAppState((s) => s.peek?.offer ?? null);
  return offers
    .filter(({ id }) => id !== looking)
    .map((offer) => (
      <section key={offer.id} className="notice warning" aria-label="Found on opening">
        {offerSays(offer)}{" "}
        {offer.kind === "outside" || offer.session !== null ? (
          <button type="button" onClick={() => void actions.lookAtOffer(offer)}>
            Look at it
          </button>
        ) : null}{" "}
        <button type="button" onClick={() => actions.dropOffer(offer.id)}>
          {offer.kind === "unsaved" ? "Leave it out" : "Dismiss"}
        </button>
      </section>
    ));
}

function offerSays(offer: Offer): string {
  if (offer.kind === "outside") {
    return "Another program changed loftmark.json since Loftmark saved it last. The state before that is kept in the history.";
  }
  const count = offer.says.length === 1 ? "one change" : `${offer.says.length} changes`;
  const shown = offer.says.slice(-SHOWN).join("; ");
  const more = offer.says.length > SHOWN ? `; and ${offer.says.length - SHOWN} before` : "";
  const lost =
    offer.session === null ? " They no longer fit the session, so they have to be made again." : "";
  return `A window was closed ${momentTime(offer.at, new Date())} before it could save ${count}: ${shown}${more}.${lost}`;
}
