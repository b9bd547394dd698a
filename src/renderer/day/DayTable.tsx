import { useLayoutEffect, useRef, useState } from "react";
import { flushSync } from "react-dom";
import { type DayColumn, type DayShot, editsIn } from "../../shared/day/day-columns.ts";
import { headOf, type TimeWords } from "../../shared/day/day-table.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { DayRow } from "./DayRow.tsx";
import { type CellPlace, CHOOSE, commandInCell, commandInEntry, movedPlace, OPEN } from "./day-keys.ts";
import { Spread } from "./Spread.tsx";

interface DayTableProps {
  readonly rows: readonly DayShot[];
  readonly columns: readonly DayColumn[];
  readonly time: TimeWords;
}

/**
 * The table of the day. One cell at a time takes the keys: arrows go from cell to cell, Enter, F2 or a typed
 * character changes what can be changed, Space chooses the row for the curves.
 */
export function DayTable({ rows, columns, time }: DayTableProps) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const order = useAppState((s) => s.day.order);
  const chosen = useAppState((s) => s.day.chosen);
  const [place, setPlace] = useState<CellPlace>({ row: 0, column: 2 });
  const [editing, setEditing] = useState(false);
  const table = useRef<HTMLTableElement>(null);
  const moved = useRef(false);
  const ids = [OPEN, CHOOSE, ...columns.map(({ id }) => id)];
  const at = {
    row: Math.max(0, Math.min(place.row, rows.length - 1)),
    column: Math.min(place.column, ids.length - 1),
  };

  useLayoutEffect(() => {
    if (!moved.current || editing) return;
    moved.current = false;
    table.current?.querySelector<HTMLElement>("[data-here]")?.focus();
  });

  function go(to: CellPlace): void {
    moved.current = true;
    setEditing(false);
    setPlace(to);
  }

  function open({ shot, outing }: DayShot): void {
    if (outing !== undefined) return; // its pictures are in another folder
    actions.chooseShot(shot.id);
    actions.showFace("frame");
  }

  function onKeyDown(event: React.KeyboardEvent<HTMLElement>): void {
    const here = rows[at.row];
    const id = ids[at.column];
    if (here === undefined || id === undefined || event.defaultPrevented) return;
    const column = columns.find((one) => one.id === id);
    const command = editing
      ? commandInEntry(event, leavesEntry(event))
      : inCell(event.target)
        ? commandInCell(event, id, column !== undefined && editsIn(column, here) !== null)
        : null;
    if (command === null) return;
    // A typed character goes into the entry, which has the focus before the key is taken up.
    if (command.kind === "type") flushSync(() => setEditing(true));
    else event.preventDefault();
    if (command.kind === "go") go(movedPlace(at, command.by, { rows: rows.length, columns: ids.length }));
    else if (command.kind === "edit") setEditing(true);
    else if (command.kind === "choose") actions.toggleChosen(here.shot.id);
    else if (command.kind === "open") open(here);
  }

  return (
    <Spread>
      <table
        ref={table}
        className="day-table"
        // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: a table whose cells take keys is a grid
        role="grid"
        aria-label="Shots of the day"
        onKeyDown={onKeyDown}
      >
        <thead>
          <tr>
            <th scope="col">
              <span className="for-reader">Open</span>
            </th>
            <th scope="col">
              <span className="for-reader">Curves</span>
            </th>
            {columns.map((column) => (
              <th
                key={column.id}
                scope="col"
                className={column.holds}
                aria-sort={order?.by !== column.id ? undefined : order.down ? "descending" : "ascending"}
              >
                <button
                  type="button"
                  className="quiet"
                  title={[
                    column.about,
                    "Press to sort, again for the other way, a third time for the session's order.",
                  ]
                    .filter((part) => part !== undefined)
                    .join(". ")}
                  onClick={() => actions.orderDay(column.id)}
                >
                  {headOf(column, units)}
                  <span aria-hidden="true">{order?.by !== column.id ? "" : order.down ? " ↓" : " ↑"}</span>
                </button>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((one, i) => (
            <DayRow
              key={one.shot.id}
              one={one}
              columns={columns}
              units={units}
              time={time}
              here={i === at.row ? (ids[at.column] ?? null) : null}
              editing={editing && i === at.row}
              chosen={chosen.includes(one.shot.id)}
              onOpen={open}
              onHere={(id) => {
                if (!editing || i !== at.row || id !== ids[at.column]) {
                  setEditing(false);
                  setPlace({ row: i, column: ids.indexOf(id) });
                }
              }}
              onEdit={() => setEditing(true)}
            />
          ))}
        </tbody>
      </table>
    </Spread>
  );
}

function inCell(target: EventTarget): boolean {
  return target instanceof HTMLElement && target.closest("td") !== null;
}

/** Whether Tab goes on from the last entry of the cell, or back from its first. */
function leavesEntry(event: React.KeyboardEvent<HTMLElement>): boolean {
  const cell = (event.target as HTMLElement).closest("td");
  const entries = [...(cell?.querySelectorAll("input") ?? [])];
  return (event.shiftKey ? entries[0] : entries.at(-1)) === event.target;
}
