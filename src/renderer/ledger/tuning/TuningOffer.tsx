import { namedShots } from "../../../shared/session/outings.ts";
import type { Session } from "../../../shared/session/schema.ts";
import { heldOutSays, tuneNotices, tuneRows } from "../../../shared/tune/tune-words.ts";
import { useActions } from "../../actions/app-context.ts";
import type { WaitingTuning } from "../../app-state/waiting-result.ts";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { TuneTable } from "./TuneTable.tsx";

/** A tuning that ended with nobody there: what it came to, and whether to take it. */
export function TuningOffer(props: { readonly offered: WaitingTuning; readonly session: Session }) {
  const { offered, session } = props;
  const actions = useActions();
  const { value, request } = offered;
  return (
    <section className="tuning-offer" aria-label="A tuning that is not taken yet">
      <h3>Not taken yet</h3>
      <p className="plain">{offered.says}</p>
      {offered.doubt === null ? null : (
        <ul className="notices">
          <li className="notice warning">
            <span>{offered.doubt}</span> <span className="remedy">Tune again to be sure.</span>
          </li>
        </ul>
      )}
      <TuneTable
        caption="Inputs of the launcher as stated and as tuned, not taken yet"
        rows={tuneRows(value, request.parameters)}
      />
      {value.heldOut.map((one) => (
        <p key={one.shotId} className={one.inside ? "plain-says" : "plain-says tune-outside"}>
          {numbersHeld(heldOutSays(one, namedShots(session), session.units))}
        </p>
      ))}
      <NoticeList notices={tuneNotices(value, request.parameters, namedShots(session))} />
      <p className="buttons">
        {offered.canTake ? (
          <button type="button" onClick={() => void actions.settleOffer(offered, "take")}>
            Take these values
          </button>
        ) : null}
        <button type="button" className="quiet" onClick={() => void actions.settleOffer(offered, "discard")}>
          Discard
        </button>
      </p>
    </section>
  );
}
