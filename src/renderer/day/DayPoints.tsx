import { memo, useMemo } from "react";
import type { DayShot } from "../../shared/day/day-columns.ts";
import { type Against, againstOf, type DayKind, kindsOf } from "../../shared/day/day-kinds.ts";
import { POINTED, type Pointed, pointsOfShots } from "../../shared/figures/points-of-shots.ts";
import { SETTING_FIELDS, WORDS } from "../../shared/next-shot/setting.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { QUANTITIES } from "../../shared/results/quantity-table.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { FigureView } from "../charts/FigureView.tsx";
import { type ModelQuestion, useDayModels } from "./use-day-models.ts";

interface DayPointsProps {
  readonly shots: readonly DayShot[];
  readonly height: number;
}

/** A result of the shots, each a point, against what was set before them, with what the model says. */
export const DayPoints = memo(function DayPoints({ shots, height }: DayPointsProps) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const { quantity, against: wanted } = useAppState((s) => s.day.points);
  const can = useMemo(() => againstOf(shots), [shots]);
  const against = can.includes(wanted) ? wanted : (can[0] ?? wanted);
  const day = useMemo(() => kindsOf(shots, against), [shots, against]);
  const questions = useMemo(
    () =>
      day.kinds.map(
        ({ key, shots: set }): ModelQuestion => ({
          kind: key,
          launch: set.at(-1)!.one.launch,
          against,
          range: day.range!,
        }),
      ),
    [day, against],
  );
  const models = useDayModels(questions);
  const figure = useMemo(() => {
    if (day.range === null) return null;
    const kinds = day.kinds.map((kind, i) => ({
      label: kind.label,
      shots: kind.shots.map(({ one, at }) => ({
        name: one.shot.name,
        at,
        elsewhere: one.outing !== undefined,
        measurement: one.result!.measurement!,
      })),
      model: models[i] ?? null,
      like: kind.shots.at(-1)!.one.shot.name,
      unlike: against === "pressure" ? "" : otherPressures(kind, units),
    }));
    const setting = SETTING_FIELDS[against];
    return pointsOfShots(kinds, { quantity, setting, range: day.range, left: day.left }, units);
  }, [day, models, quantity, against, units]);
  if (figure === null) {
    return shots.length === 0 ? null : (
      <p className="day-empty">
        None of these shots is measured with a tank pressure, a mass or a draw to set it against.
      </p>
    );
  }
  return (
    <>
      <div className="day-tools">
        <label>
          Result{" "}
          <select
            value={quantity}
            onChange={(event) => actions.drawPoints({ quantity: event.target.value as Pointed })}
          >
            {(Object.keys(POINTED) as Pointed[]).map((one) => (
              <option key={one} value={one}>
                {QUANTITIES[one].words}
              </option>
            ))}
          </select>
        </label>
        <label>
          set against{" "}
          <select
            value={against}
            onChange={(event) => actions.drawPoints({ against: event.target.value as Against })}
          >
            {can.map((one) => (
              <option key={one} value={one}>
                {WORDS[one]}
              </option>
            ))}
          </select>
        </label>
      </div>
      <FigureView figure={figure} caption height={height} />
    </>
  );
});

/** Where the shots of a kind differ in what the model takes from one of them. */
function otherPressures({ shots }: DayKind, units: UnitSet): string {
  const said = new Set(
    shots.map(({ one }) => {
      const pressure = one.shot.conditions.gaugePressurePa;
      return pressure === null ? "no stated pressure" : showMeasured(pressure, "Pa", units).text;
    }),
  );
  return said.size < 2 ? "" : `These shots were not all alike: ${[...said].join(", ")} in the tank.`;
}
