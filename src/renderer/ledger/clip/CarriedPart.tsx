import { useLayoutEffect, useRef } from "react";
import { clockSays } from "../../../shared/carry/carried-clock.ts";
import { settingSays } from "../../../shared/carry/carried-setting.ts";
import { cameraSays, doubtSays } from "../../../shared/carry/carry-words.ts";
import { mayTake } from "../../../shared/carry/find-pick.ts";
import { takenGroups } from "../../../shared/carry/take-over.ts";
import { useActions, useAppState, useTools } from "../../actions/app-context.ts";
import type { Pick } from "../../app-state/app-state.ts";
import { modelsFor, type OfferedSetUp, offeredSetUp } from "../../app-state/offered-set-up.ts";

const REVEAL_PX = 120; // css px that a place keeps from the view's edge when it is shown

/** A former shot's set-up as it was found on this shot's clip: looked at, then taken over or left. */
export function CarriedPart() {
  const state = useAppState((s) => s);
  const offered = offeredSetUp(state);
  const { store } = useActions();
  const section = useRef<HTMLElement>(null);
  const refused = offered?.offer.status === "refused" ? offered.shot.id : null;
  useLayoutEffect(() => {
    // With the focus, or else an open heading below keeps itself in view, and the answer out of it.
    if (refused !== null && isIdle(store.get().pick)) section.current?.focus();
  }, [refused, store]);
  if (offered === null) return null;
  const { former, offer } = offered;
  return (
    <section
      ref={section}
      tabIndex={-1}
      className="carried"
      aria-label={`As in ${former.name}`}
      aria-live="polite"
    >
      <h2>As in {former.name}</h2>
      {offer.status === "looking" ? (
        <p>Its camera, scale and points are being looked for in this clip.</p>
      ) : offer.status === "refused" ? (
        <p className="notice warning">
          {offer.fault.cause} <span className="remedy">{offer.fault.remedy}</span>
        </p>
      ) : (
        <FoundPart offered={offered} />
      )}
      <div className="buttons">
        {offer.status === "found" ? <TakeOver offered={offered} /> : null}
        <OtherWays former={former.id} refused={offer.status === "refused"} />
      </div>
    </section>
  );
}

function FoundPart({ offered: { former, offer, picks } }: { readonly offered: OfferedSetUp }) {
  const actions = useActions();
  const { viewportControl } = useTools();
  const session = useAppState((s) => s.history.present);
  if (offer.status !== "found") return null;
  const { found, accepted, rates } = offer;
  const turned = settingSays(session, former, found.camera);
  const groups = takenGroups(picks, { found, accepted });
  const taken = picks.filter(({ group }) => groups.has(group)).map(({ says }) => says);
  const unsure = found.picks.flatMap((one) => {
    const pick = picks.find(({ id }) => id === one.id);
    return one.doubt === null || pick === undefined ? [] : [{ one, doubt: one.doubt, says: pick.says }];
  });
  return (
    <>
      <p>{cameraSays(found.camera, former.name)}</p>
      {turned === "" ? null : <p>{turned}</p>}
      <p>
        Found again in frame {found.frame}: {taken.length === 0 ? "nothing" : taken.join(", ")}.
      </p>
      <p>{clockSays(former.clock, rates, former.name)}</p>
      {unsure.length === 0 ? null : (
        <ul className="carried-doubts" aria-label="Not sure">
          {unsure.map(({ one, doubt, says }) => (
            <li key={one.id}>
              {mayTake(one) ? (
                <label>
                  <input
                    type="checkbox"
                    checked={accepted.has(one.id)}
                    onChange={(event) => actions.accept(one.id, event.target.checked)}
                  />{" "}
                  Take {says} all the same
                </label>
              ) : (
                `Not ${says}`
              )}
              <p className="hint">
                {capital(doubtSays(one, doubt, former.name))}.{" "}
                {doubt.why === "outside" ? null : (
                  <button
                    type="button"
                    className="quiet"
                    onClick={() => {
                      actions.goTo(found.frame);
                      viewportControl.reveal(one.at, REVEAL_PX);
                    }}
                  >
                    Show it
                  </button>
                )}
              </p>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

function TakeOver({ offered: { offer, picks } }: { readonly offered: OfferedSetUp }) {
  const actions = useActions();
  const take = useRef<HTMLButtonElement>(null);
  useLayoutEffect(() => {
    if (isIdle(actions.store.get().pick)) take.current?.focus(); // Enter takes it over
  }, [actions]);
  if (offer.status !== "found") return null;
  return (
    <button
      type="button"
      ref={take}
      disabled={takenGroups(picks, offer).size === 0}
      onClick={actions.takeOver}
    >
      Take it over
    </button>
  );
}

/** The shot set up as another one, or by hand. */
function OtherWays({ former, refused }: { readonly former: string; readonly refused: boolean }) {
  const actions = useActions();
  const models = useAppState((s) => s.history.present.shots).length > 2;
  const state = useAppState((s) => s);
  const others = models ? modelsFor(state) : [];
  const next = refused ? others[others.findIndex(({ id }) => id === former) + 1] : undefined;
  return (
    <>
      {next === undefined ? null : (
        <button type="button" onClick={() => actions.lookAs(next.id)}>
          Look as in {next.name}
        </button>
      )}
      {others.length < 2 ? null : (
        <label>
          As in{" "}
          <select value={former} onChange={(event) => actions.lookAs(event.target.value)}>
            {others.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
      <button type="button" className="quiet" onClick={actions.leaveSetUp}>
        Set it up by hand
      </button>
    </>
  );
}

/** Whether the person is at nothing else: a field, or picks in the frame. */
function isIdle(pick: Pick | null): boolean {
  const at = document.activeElement;
  if (at === null || at === document.body || at.closest(".shots") !== null) return true;
  return at.matches(".frame") && pick === null;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
