import { useEffect, useState } from "react";
import type { Moment } from "../../../shared/api/contract.ts";
import type { Fault } from "../../../shared/quantity/notice.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { faultOf } from "../../saving/autosave.ts";
import { daysOf } from "./history-days.ts";

const SHOWN_AT_FIRST = 40; // rows; an afternoon has hundreds

/**
 * Everything that was done in this session, the newest first; each state can be looked at and gone back to.
 */
export function HistoryPanel() {
  const actions = useActions();
  const saved = useAppState((s) => s.save.status === "saved");
  const [moments, setMoments] = useState<readonly Moment[] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [shown, setShown] = useState(SHOWN_AT_FIRST);
  useEffect(() => {
    if (!saved) return; // asked again once the last step is in it
    let gone = false;
    actions
      .moments()
      .then((list) => !gone && setMoments(list))
      .catch((error: unknown) => !gone && setFault(faultOf(error)));
    return () => {
      gone = true;
    };
  }, [actions, saved]);
  if (fault !== null) {
    return (
      <p className="notice warning">
        {fault.cause} <span className="remedy">{fault.remedy}</span>
      </p>
    );
  }
  if (moments === null) return <p className="soft">The history is being read.</p>;
  const steps = moments.filter(({ kind }) => kind !== "joins" && kind !== "note");
  if (steps.length === 0) return <p className="soft">Nothing was changed in this session yet.</p>;
  return (
    <section className="history" aria-label="History">
      {daysOf(steps.slice(0, shown)).map(({ day, moments: ofDay }) => (
        <div key={day}>
          <h3>{day}</h3>
          <ol>
            {ofDay.map(({ moment, time }) => (
              <li key={moment.id}>
                <time dateTime={moment.at}>{time}</time>
                <span>{moment.says}</span>
                <button
                  type="button"
                  className="quiet"
                  aria-label={`Look at the state after: ${moment.says}, ${time}`}
                  onClick={() => void actions.lookAt(moment)}
                >
                  Look
                </button>
              </li>
            ))}
          </ol>
        </div>
      ))}
      {steps.length > shown ? (
        <button type="button" className="quiet" onClick={() => setShown(shown + 5 * SHOWN_AT_FIRST)}>
          Show earlier
        </button>
      ) : null}
    </section>
  );
}
