import { memo, useMemo } from "react";
import type { DayShot } from "../../shared/day/day-columns.ts";
import {
  ALIGNMENTS,
  type Alignment,
  OVERLAID,
  type Overlaid,
  type OverlaidShot,
  overlayOfShots,
} from "../../shared/figures/overlay-of-shots.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { FigureView } from "../charts/FigureView.tsx";

/** The measured ones among shots, with what their curves are drawn of. */
export function overlaidShots(
  shots: readonly DayShot[],
): readonly (OverlaidShot & { readonly id: string })[] {
  return shots.flatMap(({ shot, result }) =>
    result?.measurement == null ? [] : [{ id: shot.id, name: shot.name, measurement: result.measurement }],
  );
}

/** The curves of the chosen shots over each other, or each in a small panel, and how they are laid. */
export const DayCurves = memo(function DayCurves({
  chosen,
  height,
}: {
  readonly chosen: readonly DayShot[];
  readonly height: number;
}) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const ask = useAppState((s) => s.day.curves);
  const shots = useMemo(() => overlaidShots(chosen), [chosen]);
  const reference = Math.max(
    0,
    shots.findIndex(({ id }) => id === ask.reference),
  );
  const figure = useMemo(
    () => overlayOfShots(shots, { ...ask, reference }, units),
    [shots, ask, reference, units],
  );
  if (figure === null) return <p className="day-empty">None of the chosen shots is measured.</p>;
  return (
    <>
      <div className="day-tools">
        <label>
          Curve{" "}
          <select
            value={ask.quantity}
            onChange={(event) => actions.drawCurves({ quantity: event.target.value as Overlaid })}
          >
            {Object.entries(OVERLAID).map(([name, [words]]) => (
              <option key={name} value={name}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <label>
          against{" "}
          <select
            value={ask.alignment}
            onChange={(event) => actions.drawCurves({ alignment: event.target.value as Alignment })}
          >
            {ALIGNMENTS.map((one) => (
              <option key={one} value={one}>
                {one === "travel" ? one : `time from ${one}`}
              </option>
            ))}
          </select>
        </label>
        <label>
          reference{" "}
          <select
            value={shots[reference]?.id}
            onChange={(event) => actions.drawCurves({ reference: event.target.value })}
          >
            {shots.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
          </select>
        </label>
        <label>
          <input
            type="checkbox"
            checked={ask.arrangement === "beside"}
            onChange={(event) =>
              actions.drawCurves({ arrangement: event.target.checked ? "beside" : "over" })
            }
          />{" "}
          each for itself
        </label>
        <label>
          <input
            type="checkbox"
            checked={ask.differences}
            disabled={ask.arrangement === "beside" || shots.length < 2}
            onChange={(event) => actions.drawCurves({ differences: event.target.checked })}
          />{" "}
          differences
        </label>
      </div>
      <FigureView figure={figure} caption height={height} />
    </>
  );
});
