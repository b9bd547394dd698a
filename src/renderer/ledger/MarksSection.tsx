import { useMemo } from "react";
import type { Airframe, Point, Shot } from "../../shared/session/schema.ts";
import { outlineOf, pointSigns } from "../frame/mark-shapes.ts";
import { useDesk, useDeskState } from "../state/desk-context.ts";
import { factsOf, resultOf, sessionOf } from "../state/desk-state.ts";
import { handU } from "../state/picks.ts";
import { misfitsOf, stripTime } from "../strip/strip-plan.ts";
import { BalanceFields } from "./BalanceFields.tsx";
import { FollowPart } from "./FollowPart.tsx";
import { handMarksWithU } from "./hand-marks-with-u.ts";
import { NumberField } from "./NumberField.tsx";
import { KIND_SAYS, POINT_KINDS, shakeSays } from "./point-kinds.ts";
import { TextField } from "./TextField.tsx";

/** The points and their marks, and where the airframe balances between them. */
export function MarksSection({ shot, airframe }: { readonly shot: Shot; readonly airframe: Airframe }) {
  const desk = useDesk();
  const points = useDeskState((s) => s.history.present.points);
  const pointId = useDeskState((s) => s.pointId);
  const facts = useDeskState(factsOf);
  const measurement = useDeskState(resultOf)?.measurement ?? null;
  const misfits = useMemo(
    () =>
      measurement === null || facts === null
        ? []
        : misfitsOf(measurement, points, stripTime(shot, facts, measurement)),
    [measurement, facts, points, shot],
  );
  const session = useDeskState(sessionOf);
  const shake = useMemo(() => shakeSays(session, shot), [session, shot]);
  const current = points.find((point) => point.id === pointId);
  const marksOf = (id: string) => shot.marks.filter((mark) => mark.pointId === id);

  function setU(u: number): void {
    const edit = handMarksWithU(shot, u);
    if (edit !== null) desk.change(edit);
  }

  function addPoint(): void {
    let n = points.length + 1;
    while (points.some((point) => point.id === `point-${n}`)) n++;
    const point: Point = { id: `point-${n}`, name: `point ${n}`, on: "airframe", body: null };
    desk.change({ kind: "add-point", point });
    desk.choosePoint(point.id);
  }

  return (
    <>
      {misfits.length === 0 ? null : (
        <ul className="notices">
          {misfits.map((one) => (
            <li key={`${one.pointId} ${one.frame}`} className="notice warning">
              {one.text}.{" "}
              <button
                type="button"
                onClick={() => {
                  desk.choosePoint(one.pointId);
                  desk.goTo(one.frame);
                }}
              >
                Go to frame {one.frame}
              </button>
            </li>
          ))}
        </ul>
      )}
      <h3>Points</h3>
      <ul className="points">
        {points.map((point, i) => (
          <li key={point.id} className={point.id === pointId ? "current" : ""}>
            <button
              type="button"
              className="point-choose"
              aria-pressed={point.id === pointId}
              title={`Mark the ${point.name} (key ${i + 1})`}
              onClick={() => desk.choosePoint(point.id)}
            >
              <PointGlyph id={point.id} points={points} />
              <span className="for-reader">Mark the {point.name}</span>
            </button>
            <TextField
              label={`Name of point ${i + 1}`}
              hideLabel
              value={point.name}
              most={40}
              onEntry={(name) => desk.change({ kind: "update-point", pointId: point.id, patch: { name } })}
            />
            <select
              aria-label={`What ${point.name} is fixed to`}
              value={point.on}
              onChange={(event) =>
                desk.change({
                  kind: "update-point",
                  pointId: point.id,
                  patch: { on: event.target.value as Point["on"] },
                })
              }
            >
              {POINT_KINDS.map((kind) => (
                <option key={kind} value={kind}>
                  {kind}
                </option>
              ))}
            </select>
            <span className="point-count">{marksOf(point.id).length}</span>
            <button
              type="button"
              className="quiet"
              aria-label={`Remove ${point.name} and its ${marksOf(point.id).length} marks`}
              title={`Remove ${point.name} and its ${marksOf(point.id).length} marks`}
              onClick={() => desk.change({ kind: "remove-point", pointId: point.id })}
            >
              ×
            </button>
          </li>
        ))}
      </ul>
      {current === undefined ? null : <p className="field-hint">{KIND_SAYS[current.on]}</p>}
      <button type="button" onClick={addPoint} disabled={points.length >= 9}>
        Add a point
      </button>
      {current === undefined ? null : <FollowPart shot={shot} point={current} />}
      {shake === null ? null : <p className="plain">{shake}</p>}
      {shot.marks.length === 0 ? null : (
        <NumberField
          label="Each hand mark is good to ±"
          path="shots[].marks[].u"
          value={handU(shot)}
          onEntry={(u) => u && setU(u)}
        />
      )}
      <h3>Balance point</h3>
      <BalanceFields airframe={airframe} points={points} />
    </>
  );
}

/** The shape and letter of a point, as on the picture. */
export function PointGlyph({ id, points }: { readonly id: string; readonly points: readonly Point[] }) {
  const sign = pointSigns(points).get(id);
  if (sign === undefined) return null;
  const { lines, closed } = outlineOf(sign.shape, 6);
  const path = lines
    .map(
      (line) => `M${line.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${closed ? "Z" : ""}`,
    )
    .join("");
  return (
    <>
      <svg className="glyph" width="20" height="20" viewBox="-10 -10 20 20" aria-hidden="true">
        <path d={path} />
      </svg>
      <b>{sign.letter}</b>
    </>
  );
}
