import { outingSays, STANDING_SAYS } from "../../../shared/outings/outing-words.ts";
import { shotCounts } from "../../../shared/session/outings.ts";
import type { Outing, Session } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { WhichOne } from "../parts/WhichOne.tsx";

const THINGS = [
  ["launchers", "launcher"],
  ["airframes", "airframe"],
  ["cameras", "camera"],
] as const;

/** One other outing: how its folder stands, which of its shots count, and what there is which of here. */
export function OneOuting(props: {
  readonly outing: Outing;
  readonly session: Session;
  /** null until its folder was looked at */
  readonly standing: keyof typeof STANDING_SAYS | null;
  readonly busy: boolean;
}) {
  const { outing, session, standing, busy } = props;
  const actions = useActions();
  const set = (to: Outing) => actions.change({ kind: "set-outing", outing: to });
  const match = (list: (typeof THINGS)[number][0], there: string, here: string | null) =>
    set({
      ...outing,
      [list]: (outing[list] as readonly { readonly id: string }[]).map((one) =>
        one.id === there ? { ...one, here } : one,
      ),
    });
  return (
    <section className="outing" aria-label={`Outing ${outing.title}`}>
      <h3>{outing.title}</h3>
      <p className={standing === "same" || standing === null ? "field-hint" : "outing-otherwise"}>
        {outing.path}, read {outing.readAt.slice(0, 10)}
        {standing === null ? "" : `: ${STANDING_SAYS[standing]}`}.
        {standing === "missing"
          ? " Where it was moved, name its folder below: it is known again by its clips."
          : ""}
      </p>
      <ul className="outing-says">
        {outingSays(outing, session).map((says) => (
          <li key={says}>{says}</li>
        ))}
      </ul>
      <fieldset className="outing-shots">
        <legend>Shots that count</legend>
        {outing.shots.map(({ id, name }) => (
          <label key={id} className="switch">
            <input
              type="checkbox"
              checked={!outing.leftOut.includes(id)}
              onChange={(event) => set(shotCounts(outing, id, event.target.checked))}
            />
            <span>{name}</span>
          </label>
        ))}
      </fieldset>
      {THINGS.flatMap(([list, what]) =>
        outing[list].map((one) => (
          <WhichOne
            key={`${what} ${one.id}`}
            label={`Its ${what} ${("launcher" in one ? one.launcher.name : one.name) || one.id} is`}
            list={session[list]}
            value={one.here}
            none={what === "camera" ? "another camera than today’s" : "none of this session’s"}
            onChoose={(here) => match(list, one.id, here)}
          />
        )),
      )}
      <p className="buttons">
        {standing === "missing" ? null : (
          <button
            type="button"
            className={standing === "changed" ? undefined : "quiet"}
            disabled={busy}
            onClick={() => void actions.readOuting(outing.path, outing.id)}
          >
            {standing === "changed" ? "Take its new numbers" : "Read it again"}
          </button>
        )}
        <button
          type="button"
          className="quiet"
          onClick={() => actions.change({ kind: "remove-outing", outingId: outing.id })}
        >
          Leave this outing out
        </button>
      </p>
    </section>
  );
}
