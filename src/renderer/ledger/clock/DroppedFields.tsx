import { useState } from "react";
import type { Ball, Session, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NumberField } from "../fields/NumberField.tsx";

/**
 * A golf ball's size, uncertain enough that it is seen to be a guess; a smooth ball's drag at these speeds.
 */
const GUESSED_BALL: Ball = {
  massKg: { value: 0.05, u: 0.02 },
  diameterM: { value: 0.04, u: 0.01 },
  dragCoefficient: { value: 0.5, u: 0.1 },
};

/** What a dropped object's fall needs to tell the capture rate well: its drag, and gravity at the field. */
export function DroppedFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const site = useAppState((s) => s.history.present.site);
  const { ball } = shot;
  const setBall = (next: Ball | undefined) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { ball: next } });
  return (
    <>
      <p className="plain">
        Drop something dense beside the scale, filmed with the same settings; under Marks add a point of the
        kind “dropped” and mark its fall. The capture rate follows from gravity.
      </p>
      {ball === undefined ? (
        <p className="plain">
          <button type="button" onClick={() => setBall(GUESSED_BALL)}>
            Allow for its drag
          </button>
        </p>
      ) : (
        <>
          <MeasuredField
            field={`${shot.id} ball-mass`}
            label="Its mass"
            path="shots[].ball.massKg"
            measured={ball.massKg}
            onEntry={(massKg) => massKg && setBall({ ...ball, massKg })}
          />
          <MeasuredField
            field={`${shot.id} ball-diameter`}
            label="Its diameter"
            path="shots[].ball.diameterM"
            measured={ball.diameterM}
            onEntry={(diameterM) => diameterM && setBall({ ...ball, diameterM })}
          />
          <MeasuredField
            field={`${shot.id} ball-drag`}
            label="Its drag coefficient"
            path="shots[].ball.dragCoefficient"
            measured={ball.dragCoefficient}
            hint="0.5 for a smooth ball."
            onEntry={(dragCoefficient) => dragCoefficient && setBall({ ...ball, dragCoefficient })}
          />
          <button type="button" className="quiet" onClick={() => setBall(undefined)}>
            Leave its drag out
          </button>
        </>
      )}
      <SiteFields site={site} />
    </>
  );
}

/** Where the field is: without it, gravity is uncertain by 0.15 %. */
function SiteFields({ site }: { readonly site: Session["site"] }) {
  const actions = useActions();
  const [typed, setTyped] = useState<{ latitudeRad: number | null; heightM: number | null }>({
    latitudeRad: site?.latitudeRad ?? null,
    heightM: site?.heightM ?? null,
  });
  function take(part: Partial<typeof typed>): void {
    const now = { ...typed, ...part };
    setTyped(now);
    const { latitudeRad, heightM } = now;
    actions.change({
      kind: "set-site",
      site: latitudeRad === null || heightM === null ? null : { latitudeRad, heightM },
    });
  }
  return (
    <>
      <NumberField
        label="Latitude of the field"
        path="site.latitudeRad"
        optional
        digits={5}
        value={site?.latitudeRad ?? typed.latitudeRad}
        onEntry={(latitudeRad) => take({ latitudeRad })}
      />
      <NumberField
        label="Its height above the sea"
        path="site.heightM"
        optional
        digits={5}
        value={site?.heightM ?? typed.heightM}
        hint="Both together give gravity there; without them it is uncertain by 0.15 %."
        onEntry={(heightM) => take({ heightM })}
      />
    </>
  );
}
