import { useEffect, useMemo } from "react";
import type { ThingKind } from "../../../shared/session/shelf-schemas.ts";
import { offered } from "../../../shared/shelf/change-shelf.ts";
import { type Difference, type ShelfStanding, shelfStanding } from "../../../shared/shelf/compare-things.ts";
import { kindOf, nameOf, newest, type ShelfEntry } from "../../../shared/shelf/shelf-schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { outingName } from "../../actions/shelf-actions.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { More } from "../fields/More.tsx";
import { numbersHeld } from "./sentences.ts";

/** The person's shelf beside the choice of an airframe, a launcher or a camera: keep, take, what changed. */
export function ShelfPart(props: {
  readonly of: ThingKind;
  /** Id in the session of the one in view; null where the shot has none. */
  readonly id: string | null;
  readonly shotId: string;
}) {
  const { of, id, shotId } = props;
  const actions = useActions();
  const session = useAppState(sessionOf);
  const outing = useAppState(outingName);
  const { shelf, fault } = useAppState((s) => s.shelf);
  useEffect(() => {
    void actions.lookAtShelf();
  }, [actions]);
  const standing = useMemo(
    (): ShelfStanding =>
      shelf === null || id === null ? { kind: "new" } : shelfStanding(session, shelf, of, id, outing),
    [session, shelf, of, id, outing],
  );
  if (shelf === null && fault === null) return null;
  const there = shelf === null ? [] : offered(shelf, of);
  const away = shelf?.entries.filter((one) => kindOf(one) === of && one.putAwayAt !== null) ?? [];
  return (
    <More title="Shelf" says={saysOf(of, standing, there.length)}>
      {fault === null ? null : (
        <p className="field-problem">
          {fault.cause} {fault.remedy}
        </p>
      )}
      <p className="field-hint">What you keep here is there for your next outing, whatever the folder.</p>
      {id === null || shelf === null ? null : <Standing of={of} id={id} standing={standing} />}
      {there.map((entry) => (
        <div key={entry.id} className="shelf-row">
          <span>
            <strong>{nameOf(newest(entry).thing)}</strong>{" "}
            <span className="shelf-kept">{keptSays(entry)}</span>
          </span>
          <span className="buttons">
            {standing.kind === "known" && standing.entry === entry ? null : (
              <button
                type="button"
                className="quiet"
                onClick={() => actions.takeFromShelf(entry, shotId)}
                aria-label={`Take for this shot: ${nameOf(newest(entry).thing)}`}
              >
                Take for this shot
              </button>
            )}
            <button
              type="button"
              className="quiet"
              onClick={() => void actions.putAwayOnShelf(entry.id)}
              aria-label={`Put away ${nameOf(newest(entry).thing)}`}
            >
              Put away
            </button>
          </span>
        </div>
      ))}
      {away.map((entry) => (
        <div key={entry.id} className="shelf-row">
          <span className="shelf-kept">{nameOf(newest(entry).thing)}, put away</span>
          <span className="buttons">
            <button type="button" className="quiet" onClick={() => void actions.bringBackOnShelf(entry.id)}>
              Bring back
            </button>
          </span>
        </div>
      ))}
    </More>
  );
}

/** How the one in view stands to the shelf, and what can be done about it. */
function Standing(props: { readonly of: ThingKind; readonly id: string; readonly standing: ShelfStanding }) {
  const { of, id, standing } = props;
  const actions = useActions();
  const keep = () => void actions.keepOnShelf(of, id);
  if (standing.kind !== "known") {
    return (
      <>
        {standing.kind === "new" ? null : <p className="plain">It came from a shelf that is not this one.</p>}
        <p className="buttons">
          <button type="button" onClick={keep}>
            Keep this {of} on the shelf
          </button>
        </p>
      </>
    );
  }
  const { entry, here, there } = standing;
  if (here.length + there.length === 0) return <p className="plain">As on the shelf: {keptSays(entry)}.</p>;
  return (
    <>
      <Changes title="Changed here since" was="on the shelf" is="here" list={here} />
      <Changes title="Changed on the shelf since" was="as taken" is="on the shelf" list={there} />
      <p className="buttons">
        {here.length === 0 ? null : (
          <button type="button" onClick={keep}>
            Keep these values on the shelf
          </button>
        )}
        <button type="button" className="quiet" onClick={() => actions.takeShelfValues(entry, id)}>
          Take the shelf’s values
        </button>
      </p>
    </>
  );
}

function Changes(props: {
  readonly title: string;
  readonly was: string;
  readonly is: string;
  readonly list: readonly Difference[];
}) {
  const { title, was, is, list } = props;
  if (list.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <table className="figures shelf-changes">
        <caption className="for-reader">{title}</caption>
        <thead>
          <tr>
            <th scope="col" className="cell number quiet">
              {was}
            </th>
            <th scope="col" className="cell number quiet">
              {is}
            </th>
          </tr>
        </thead>
        {list.map(({ words, before, after }) => (
          <tbody key={words}>
            <tr>
              <th scope="rowgroup" colSpan={2} className="cell">
                {words}
              </th>
            </tr>
            <tr>
              <td className="cell number">{numbersHeld(before)}</td>
              <td className="cell number">{numbersHeld(after)}</td>
            </tr>
          </tbody>
        ))}
      </table>
    </>
  );
}

function saysOf(of: ThingKind, standing: ShelfStanding, count: number): string {
  if (standing.kind === "known") {
    const { here, there } = standing;
    if (there.length > 0) return `${of} changed on the shelf since`;
    return here.length > 0 ? `${of} changed here since` : `${of} as on the shelf`;
  }
  if (count === 0) return `no ${of} yet`;
  return count === 1 ? `one ${of}` : `${count} ${of}s`;
}

/** "kept 2026-05-02 from An afternoon, tuned in An afternoon" */
function keptSays(entry: ShelfEntry): string {
  const { at, outing, thing } = newest(entry);
  const tuned =
    thing.of === "launcher" && thing.tuning !== null
      ? `, tuned on ${thing.tuning.tuned.shotCount === 1 ? "one shot" : `${thing.tuning.tuned.shotCount} shots`} of ${thing.tuning.from.outing}`
      : "";
  return `kept ${at.slice(0, 10)} from ${outing}${tuned}`;
}
