import { useState } from "react";
import { DAY_COLUMNS, type DayColumn, type DayShot } from "../../shared/day/day-columns.ts";
import { dayCsv, dayText, type TimeWords } from "../../shared/day/day-table.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { copyText, saveText } from "../actions/hand-out.ts";

interface DayToolsProps {
  /** Those of other outings among them, shown or not. */
  readonly all: readonly DayShot[];
  readonly shots: readonly DayShot[];
  /** Those shown, in their order. */
  readonly rows: readonly DayShot[];
  readonly columns: readonly DayColumn[];
  readonly time: TimeWords;
}

/**
 * The head of the day: how many shots, what is still measured, filter, columns, and the table taken along.
 */
export function DayTools({ all, shots, rows, columns, time }: DayToolsProps) {
  const actions = useActions();
  const filter = useAppState((s) => s.day.filter);
  const hidden = useAppState((s) => s.day.hidden);
  const units = useAppState((s) => s.history.present.units);
  const measuring = useAppState((s) => s.measuring);
  const [choosing, setChoosing] = useState(false);
  const [said, say] = useState("");
  const own = shots.filter(({ outing }) => outing === undefined);
  const elsewhere = all.filter(({ outing }) => outing !== undefined).length;
  const withElsewhere = useAppState((s) => s.day.elsewhere);
  const measured = own.filter(({ result }) => result?.measurement != null).length;
  const waiting = shots.filter(({ shot, result }) => shot.clip !== null && result === null).length;
  const narrowed = rows.length < shots.length ? `, ${rows.length} shown` : "";
  return (
    <header className="day-head">
      <h1>The day</h1>
      <p className="day-says" role="status">
        {own.length} {own.length === 1 ? "shot" : "shots"}, {measured} measured
        {shots.length === own.length ? "" : `, and ${elsewhere} of other outings`}
        {narrowed}.
        {measuring !== "behind" || waiting === 0 ? null : (
          <>
            {" "}
            {waiting} still to measure.{" "}
            <button type="button" className="quiet inline" onClick={actions.stopMeasuring}>
              Stop
            </button>
          </>
        )}
        {measuring !== "behind" && waiting > 0 ? (
          <>
            {" "}
            <button type="button" className="quiet inline" onClick={actions.measureAll}>
              Measure the other {waiting}
            </button>
          </>
        ) : null}
      </p>
      <div className="day-tools">
        <label>
          Show rows with{" "}
          <input
            type="search"
            value={filter}
            autoComplete="off"
            spellCheck={false}
            onChange={(event) => actions.filterDay(event.target.value)}
          />
        </label>
        {elsewhere === 0 ? null : (
          <label>
            <input
              type="checkbox"
              checked={withElsewhere}
              onChange={(event) => actions.showElsewhere(event.target.checked)}
            />{" "}
            {elsewhere === 1 ? "one shot" : `${elsewhere} shots`} of other outings
          </label>
        )}
        <button type="button" aria-expanded={choosing} onClick={() => setChoosing(!choosing)}>
          Columns
        </button>
        <button
          type="button"
          onClick={() =>
            void copyText(dayText(rows, columns, units, time)).then((done) =>
              say(done ? `${rows.length} rows copied.` : "The browser did not let the table be copied."),
            )
          }
        >
          Copy as text
        </button>
        <button type="button" onClick={() => saveText("day.csv", "text/csv", dayCsv(rows, columns))}>
          Save as CSV
        </button>
        <span className="day-said" role="status">
          {said}
        </span>
      </div>
      {choosing ? (
        <fieldset className="day-columns">
          <legend>Columns shown</legend>
          {DAY_COLUMNS.map(({ id, words }) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={!hidden.includes(id)}
                disabled={id === "name"}
                onChange={() => actions.toggleColumn(id)}
              />{" "}
              {words}
            </label>
          ))}
        </fieldset>
      ) : null}
    </header>
  );
}
