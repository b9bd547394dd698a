import { useState } from "react";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { Airframe, Point } from "../../../shared/session/schema.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { useChangeAirframe } from "../parts/use-things-in-view.ts";

// m: until measured, on the line between the points to 5 mm
const ON_THE_LINE: Measured = { value: 0, u: 0.005 };

/**
 * Where the airframe balances: how far behind one point on the line to another, and how far above that line.
 */
export function BalanceFields({
  airframe,
  points,
}: {
  readonly airframe: Airframe;
  readonly points: readonly Point[];
}) {
  const changeAirframe = useChangeAirframe();
  const cg = airframe.centreOfGravity;
  const own = points.filter((point) => point.on === "airframe");
  const [ends, setEnds] = useState<{ from: string | undefined; toward: string | undefined }>({
    from: own[0]?.id,
    toward: own[1]?.id,
  });
  const from = cg?.fromPointId ?? ends.from;
  const toward = cg?.towardPointId ?? ends.toward;
  const change = (centreOfGravity: Airframe["centreOfGravity"]) => changeAirframe({ centreOfGravity });
  if (own.length < 2)
    return <p className="plain">Two points on the airframe are needed to say where it balances.</p>;

  function setEnd(part: { from?: string; toward?: string }): void {
    let next = { from, toward, ...part };
    if (next.from === next.toward)
      next = { from: next.from, toward: own.find((p) => p.id !== next.from)?.id };
    setEnds({ from: next.from, toward: next.toward });
    if (cg !== null && next.from && next.toward)
      change({ ...cg, fromPointId: next.from, towardPointId: next.toward });
  }

  function setAlong(alongM: Measured | null): void {
    if (alongM === null) change(null);
    else if (from && toward)
      change(
        cg === null
          ? { fromPointId: from, towardPointId: toward, alongM, aboveM: ON_THE_LINE }
          : { ...cg, alongM },
      );
  }

  return (
    <>
      <p className="plain">
        Measured from the{" "}
        <select aria-label="Forward point" value={from} onChange={(e) => setEnd({ from: e.target.value })}>
          {own.map((point) => (
            <option key={point.id} value={point.id}>
              {point.name}
            </option>
          ))}
        </select>{" "}
        towards the{" "}
        <select aria-label="Aft point" value={toward} onChange={(e) => setEnd({ toward: e.target.value })}>
          {own
            .filter((point) => point.id !== from)
            .map((point) => (
              <option key={point.id} value={point.id}>
                {point.name}
              </option>
            ))}
        </select>
        ; pitch is the angle of this line above the horizontal.
      </p>
      <MeasuredField
        field="cg-along"
        label={`Balance point behind the ${own.find((point) => point.id === from)?.name ?? "forward point"}`}
        path="airframe.centreOfGravity.alongM"
        optional
        measured={cg?.alongM ?? null}
        onEntry={setAlong}
      />
      {cg === null ? null : (
        <>
          <MeasuredField
            field="cg-above"
            label="and above the line"
            path="airframe.centreOfGravity.aboveM"
            measured={cg.aboveM}
            onEntry={(aboveM) => aboveM && change({ ...cg, aboveM })}
          />
          <MeasuredField
            field="points-apart"
            path="airframe.centreOfGravity.apartM"
            optional
            hint="Held against the scale: it is where the flight is, as no rod beside it can be."
            measured={cg.apartM ?? null}
            onEntry={(apartM) => change({ ...cg, apartM })}
          />
        </>
      )}
    </>
  );
}
