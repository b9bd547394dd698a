import { useMemo } from "react";
import { unusedId } from "../../../shared/session/fresh.ts";
import type { ListedAirframe, Point, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { factsOf, resultOf, sessionOf } from "../../app-state/app-state.ts";
import { pointsInView } from "../../app-state/things-in-view.ts";
import { PointGlyph } from "../../frame/PointGlyph.tsx";
import { handU } from "../../picking/picks.ts";
import { misfitsOf, stripTime } from "../../strip/strip-plan.ts";
import { NumberField } from "../fields/NumberField.tsx";
import { TextField } from "../fields/TextField.tsx";
import { BalanceFields } from "./BalanceFields.tsx";
import { FollowPart } from "./FollowPart.tsx";
import { handMarksWithU } from "./hand-marks-with-u.ts";
import { KIND_SAYS, POINT_KINDS, shakeSays } from "./point-kinds.ts";
import { SwappedPart } from "./SwappedPart.tsx";
import { besideSwapped } from "./swaps-there.ts";

/** The points and their marks, and where the airframe balances between them. */
export function MarksSection({ shot, airframe }: { readonly shot: Shot; readonly airframe: ListedAirframe }) {
  const actions = useActions();
  const points = useAppState(pointsInView);
  const pointId = useAppState((s) => s.pointId);
  const facts = useAppState(factsOf);
  const result = useAppState(resultOf);
  const measurement = result?.measurement ?? null;
  const misfits = useMemo(
    () =>
      measurement === null || facts === null
        ? []
        : misfitsOf(besideSwapped(measurement), points, stripTime(shot, facts, measurement)),
    [measurement, facts, points, shot],
  );
  const session = useAppState(sessionOf);
  const shake = useMemo(() => shakeSays(session, shot), [session, shot]);
  const current = points.find((point) => point.id === pointId);
  const marksOf = (id: string) => shot.marks.filter((mark) => mark.pointId === id);

  function setU(u: number): void {
    const edit = handMarksWithU(shot, u);
    if (edit !== null) actions.change(edit);
  }

  function addPoint(): void {
    const id = unusedId("point", session.points);
    const { airframeId } = shot;
    const point: Point = { id, name: id.replace("-", " "), on: "airframe", airframeId, body: null };
    actions.change({ kind: "add-point", point });
    actions.choosePoint(point.id);
  }

  return (
    <>
      <SwappedPart shot={shot} result={result} />
      {misfits.length === 0 ? null : (
        <ul className="notices">
          {misfits.map((one) => (
            <li key={`${one.pointId} ${one.frame}`} className="notice warning">
              {one.text}.{" "}
              <button
                type="button"
                onClick={() => {
                  actions.choosePoint(one.pointId);
                  actions.goTo(one.frame);
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
              onClick={() => actions.choosePoint(point.id)}
            >
              <PointGlyph id={point.id} points={points} />
              <span className="for-reader">Mark the {point.name}</span>
            </button>
            <TextField
              label={`Name of point ${i + 1}`}
              hideLabel
              value={point.name}
              most={40}
              onEntry={(name) => actions.change({ kind: "update-point", pointId: point.id, patch: { name } })}
            />
            <select
              aria-label={`What ${point.name} is fixed to`}
              value={point.on}
              onChange={(event) =>
                actions.change({
                  kind: "update-point",
                  pointId: point.id,
                  patch: { on: event.target.value as Point["on"], airframeId: shot.airframeId },
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
              onClick={() => actions.change({ kind: "remove-point", pointId: point.id })}
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
      <BalanceFields key={airframe.id} airframe={airframe} points={points} />
    </>
  );
}
