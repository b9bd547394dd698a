import { useLayoutEffect, useRef } from "react";
import type { DayColumn, DayShot, EditedCondition } from "../../shared/day/day-columns.ts";
import type { Conditions } from "../../shared/session/schema.ts";
import { useActions } from "../actions/app-context.ts";
import { MeasuredField } from "../ledger/fields/MeasuredField.tsx";
import { TextField } from "../ledger/fields/TextField.tsx";

/** What was begun and cannot stand yet is kept under the same name as in the ledger. */
const DRAFTS: Readonly<Record<EditedCondition, string>> = {
  gaugePressurePa: "gauge",
  temperatureK: "temperature",
  airPressurePa: "air-pressure",
  headwindMPerS: "headwind",
};

/**
 * The entry in a cell of the day. It takes the focus, what stands in it chosen, so that typing replaces it.
 */
export function DayEntry({ column, one }: { readonly column: DayColumn; readonly one: DayShot }) {
  const actions = useActions();
  const box = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const entry = box.current?.querySelector("input");
    entry?.focus();
    entry?.select();
  }, []);
  const { shot } = one;
  const change = (patch: Parameters<typeof updateOf>[1]) => actions.change(updateOf(shot.id, patch));
  return (
    <div ref={box} className="day-entry">
      {column.holds === "measured" && column.edits !== null ? (
        <MeasuredField
          field={`${shot.id} ${DRAFTS[column.edits]}`}
          path={`shots[].conditions.${column.edits}`}
          optional={column.edits === "gaugePressurePa"}
          measured={shot.conditions[column.edits]}
          onEntry={conditionEntered(column.edits, shot.conditions, (conditions) => change({ conditions }))}
        />
      ) : (
        <TextField
          label="Name of the shot"
          hideLabel
          value={shot.name}
          most={80}
          onEntry={(name) => change({ name })}
        />
      )}
    </div>
  );
}

function updateOf(shotId: string, patch: { readonly name?: string; readonly conditions?: Conditions }) {
  return { kind: "update-shot", shotId, patch } as const;
}

function conditionEntered(
  name: EditedCondition,
  conditions: Conditions,
  change: (conditions: Conditions) => void,
): (value: Conditions["gaugePressurePa"]) => void {
  return (value) => {
    if (name === "gaugePressurePa") change({ ...conditions, gaugePressurePa: value });
    else if (value !== null) change({ ...conditions, [name]: value });
  };
}
