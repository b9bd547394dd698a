import { memo } from "react";
import { type DayColumn, type DayShot, editsIn } from "../../shared/day/day-columns.ts";
import { cellText, type TimeWords } from "../../shared/day/day-table.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";
import { useActions } from "../actions/app-context.ts";
import { DayEntry } from "./DayEntry.tsx";

interface DayRowProps {
  readonly one: DayShot;
  readonly columns: readonly DayColumn[];
  readonly units: UnitSet;
  readonly time: TimeWords;
  /** id of the cell that takes the keys; null where that is in another row */
  readonly here: string | null;
  readonly editing: boolean;
  readonly chosen: boolean;
  readonly onOpen: (one: DayShot) => void;
  readonly onHere: (id: string) => void;
  readonly onEdit: () => void;
}

/** One shot of the day. */
export const DayRow = memo(DayRowOnce, (before, after) => {
  // The callbacks of another drawing do the same; a row is drawn again only when something it shows has
  // changed.
  const keys = ["one", "columns", "units", "time", "here", "editing", "chosen"] as const;
  return keys.every((key) => (key === "one" ? sameShot(before.one, after.one) : before[key] === after[key]));
});

function sameShot(a: DayShot, b: DayShot): boolean {
  return (
    a.shot === b.shot &&
    a.number === b.number &&
    a.clipMs === b.clipMs &&
    a.result === b.result &&
    a.launch.airframe.name === b.launch.airframe.name &&
    a.launch.airframe.massKg === b.launch.airframe.massKg &&
    a.launch.launcher === b.launch.launcher
  );
}

function DayRowOnce(props: DayRowProps) {
  const { one, columns, units, time, here, editing, chosen, onOpen, onHere, onEdit } = props;
  const { shot, number } = one;
  const cell = (id: string, className?: string) => ({
    className,
    role: "gridcell",
    tabIndex: id === here ? 0 : -1,
    "data-here": id === here ? "" : undefined,
    "data-column": id,
    onFocus: () => onHere(id),
  });
  return (
    <tr
      data-shot={shot.id}
      aria-selected={chosen}
      className={one.outing === undefined ? undefined : "day-elsewhere"}
    >
      <td
        {...cell("open", "day-number")}
        title={one.outing === undefined ? undefined : `Read only: its pictures are with ${one.outing.title}`}
      >
        {one.outing === undefined ? (
          <button
            type="button"
            className="quiet"
            tabIndex={-1}
            aria-label={`Open ${shot.name}`}
            title={`Open ${shot.name} in the frame`}
            onClick={() => onOpen(one)}
          >
            {number}
          </button>
        ) : (
          <>
            <span aria-hidden="true">·</span>
            <span className="for-reader">of another outing</span>
          </>
        )}
      </td>
      <td {...cell("choose", "day-choose")}>
        <ChooseBox one={one} chosen={chosen} />
      </td>
      {columns.map((column) => (
        <td
          key={column.id}
          {...cell(column.id, `${column.holds} ${editsIn(column, one) === null ? "" : "editable"}`)}
          title={titleOf(column, one)}
          onDoubleClick={editsIn(column, one) === null ? () => onOpen(one) : onEdit}
        >
          {editing && column.id === here && editsIn(column, one) !== null ? (
            <DayEntry column={column} one={one} />
          ) : (
            cellText(column, one, units, time)
          )}
        </td>
      ))}
    </tr>
  );
}

function ChooseBox({ one, chosen }: { readonly one: DayShot; readonly chosen: boolean }) {
  const { toggleChosen } = useActions();
  return (
    <input
      type="checkbox"
      tabIndex={-1}
      aria-label={`Draw the curves of ${one.shot.name}`}
      checked={chosen}
      onChange={() => toggleChosen(one.shot.id)}
    />
  );
}

function titleOf(column: DayColumn, { result }: DayShot): string | undefined {
  if (column.id !== "notices" || result === null) return undefined;
  const causes = result.notices.filter(({ level }) => level !== "note").map(({ cause }) => cause);
  return causes.length === 0 ? undefined : causes.join("\n");
}
