import { useDeferredValue, useMemo } from "react";
import { DAY_COLUMNS } from "../../shared/day/day-columns.ts";
import { arranged } from "../../shared/day/day-table.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { Pictures } from "../beside/Pictures.tsx";
import { DayCurves } from "./DayCurves.tsx";
import { DayPoints } from "./DayPoints.tsx";
import { DayTable } from "./DayTable.tsx";
import { DayTools } from "./DayTools.tsx";
import { timeWordsFor, useDayShots } from "./day-shots.ts";

const FIGURE_HEIGHT = 380; // css px

/** The day: every shot of the outing as a row, and the curves of the chosen ones, in the frame's place. */
export function DayFace() {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const view = useAppState((s) => s.day);
  const all = useDayShots();
  const shots = useMemo(
    () => (view.elsewhere ? all : all.filter(({ outing }) => outing === undefined)),
    [all, view.elsewhere],
  );
  const columns = useMemo(() => DAY_COLUMNS.filter(({ id }) => !view.hidden.includes(id)), [view.hidden]);
  const time = useMemo(() => timeWordsFor(shots), [shots]);
  const rows = useMemo(
    () => arranged(shots, columns, view.filter, view.order, units, time),
    [shots, columns, view.filter, view.order, units, time],
  );

  const chosen = useMemo(
    () => view.chosen.flatMap((id) => shots.find(({ shot }) => shot.id === id) ?? []),
    [view.chosen, shots],
  );

  // A change shows in its row at once; figures, which are drawn of many shots, follow it.
  const curves = useDeferredValue(chosen);
  const points = useDeferredValue(chosen.length === 0 ? rows : chosen);

  function onKeyDown(event: React.KeyboardEvent): void {
    // Keys of the frame mean nothing here; undo and redo do everywhere.
    if (event.key === "Escape" && !event.defaultPrevented) actions.showFace("frame");
    if (!event.ctrlKey && !event.metaKey) event.stopPropagation();
  }

  return (
    <section className="day" aria-label="The day" onKeyDown={onKeyDown}>
      <DayTools all={all} shots={shots} rows={rows} columns={columns} time={time} />
      <DayTable rows={rows} columns={columns} time={time} />
      {shots.length === 0 ? (
        <p className="day-empty">
          No shot yet. Add the clips of this folder at the left; each becomes a row here.
        </p>
      ) : rows.length === 0 ? (
        <p className="day-empty">No shot has all of these words in its row.</p>
      ) : null}
      {chosen.length === 0 ? (
        shots.length === 0 ? null : (
          <p className="day-empty">
            Choose shots in their rows, by the box or by Space, and their curves are laid over each other
            here.{" "}
            <button
              type="button"
              className="quiet inline"
              onClick={() => actions.chooseAll(rows.map(({ shot }) => shot.id))}
            >
              Choose all
            </button>
          </p>
        )
      ) : (
        <section className="day-figures" aria-label="Chosen shots">
          <h2>
            {chosen.length === 1 ? "1 chosen shot" : `${chosen.length} chosen shots`}{" "}
            <button type="button" className="quiet" onClick={() => actions.chooseAll([])}>
              Choose none
            </button>
          </h2>
          {curves.length === 0 ? null : <DayCurves chosen={curves} height={FIGURE_HEIGHT} />}
        </section>
      )}
      {chosen.length === 0 ? null : <Pictures chosen={chosen} />}
      {shots.length === 0 ? null : (
        <section className="day-figures" aria-label="Results against what was set">
          <h2>{chosen.length === 0 ? "Shots in the table" : "Chosen shots"}, against what was set</h2>
          <DayPoints shots={points} height={FIGURE_HEIGHT} />
        </section>
      )}
    </section>
  );
}
