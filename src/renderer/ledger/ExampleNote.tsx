import { useState } from "react";
import { showExact } from "../../shared/quantity/display.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { resultOf } from "../app-state/app-state.ts";

export interface ExampleNoteProps {
  readonly shot: Shot;
  readonly units: Session["units"];
}

/** Says of a drawn clip that it is one and what is true of it, and offers three things to try. */
export function ExampleNote({ shot, units }: ExampleNoteProps) {
  const actions = useActions();
  const truth = useAppState((s) => s.truth?.shots.find(({ id }) => id === shot.id) ?? null);
  const [closed, close] = useState(false);
  const speed = truth?.quantities.releaseSpeed;
  const measured = useAppState(resultOf)?.measurement?.quantities.releaseSpeed;
  if (speed === undefined || closed) return null;
  const off = measured === undefined ? null : Math.abs(measured.value - speed.value) / measured.u;
  return (
    <aside className="example-note" aria-label="About this example">
      <p>
        This is an example: its clip is drawn, and what is true of it is known. The airframe left at{" "}
        <b>{showExact(speed.value, "m/s", units, 4)}</b>
        {off === null ? "" : `; what is measured below lies ${off.toFixed(1)} times its ± from that`}. Three
        things to try:
      </p>
      <ul>
        <li>
          Drag a mark in the frame and see what the results make of it; <b>Undo</b> takes it back.
        </li>
        <li>
          Under{" "}
          <button type="button" className="quiet inline" onClick={() => actions.openStep("scale")}>
            Scale
          </button>{" "}
          say how well the flight kept the rod’s plane, and see what that does to the ±.
        </li>
        <li>
          Under{" "}
          <button type="button" className="quiet inline" onClick={() => actions.openStep("verdict")}>
            Verdict
          </button>{" "}
          see how the prediction compares, and what would explain the difference.
        </li>
      </ul>
      <p className="example-ends">
        <button type="button" className="quiet inline" onClick={() => actions.showGuide("Seven steps")}>
          The seven steps of a shot
        </button>
        <button type="button" className="quiet inline" onClick={() => close(true)}>
          Close
        </button>
      </p>
    </aside>
  );
}
