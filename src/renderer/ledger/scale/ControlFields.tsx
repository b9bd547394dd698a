import type { ControlPoints, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { FEWEST_CONTROL } from "../../picking/reference-picks.ts";
import { CoordinateInput } from "../fields/CoordinateInput.tsx";
import { NumberField } from "../fields/NumberField.tsx";

/**
 * Points of the flight plane whose places are known: four or more give the whole map from picture to plane.
 */
export function ControlFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const pick = useAppState((s) => s.pick);
  const drafts = useAppState((s) => s.sketch.control);
  const { control } = shot;
  const rows = [...(control?.points ?? []), ...drafts];
  const put = (next: ControlPoints) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { control: next } });
  return (
    <>
      <p className="plain">
        Four or more points of known place, spread over the flight plane, map the picture onto it, however the
        camera stood. They are used instead of rod, plumb and the flight's setting.
      </p>
      {rows.length === 0 ? null : (
        <ol className="known-points" aria-label="Known points">
          <li aria-hidden="true" className="known-head">
            <span />
            <span>right, m</span>
            <span>up, m</span>
          </li>
          {rows.map((point, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a known point has no name but its number
            <li key={at}>
              <b>{at + 1}</b>
              <CoordinateInput
                label={`Point ${at + 1}, metres to the right`}
                value={point.xM}
                onEntry={(xM) => actions.typeControl(at, { xM })}
              />
              <CoordinateInput
                label={`Point ${at + 1}, metres up`}
                value={point.yM}
                onEntry={(yM) => actions.typeControl(at, { yM })}
              />
              <button
                type="button"
                className="quiet"
                aria-label={`Remove point ${at + 1}`}
                onClick={() => actions.removeHandle({ kind: "control", at })}
              >
                ×
              </button>
            </li>
          ))}
        </ol>
      )}
      <p className="plain buttons">
        <button
          type="button"
          aria-pressed={pick?.kind === "control"}
          onClick={() => actions.choosePick(pick?.kind === "control" ? null : { kind: "control" })}
        >
          {pick?.kind === "control" ? "No more points" : "Click known points"}
        </button>
        {control === undefined ? null : (
          <button
            type="button"
            className="quiet"
            onClick={() =>
              actions.change({ kind: "update-shot", shotId: shot.id, patch: { control: undefined } })
            }
          >
            Remove all, use the rod
          </button>
        )}
      </p>
      {drafts.length > 0 ? (
        <p className="field-hint">
          {control === undefined
            ? `Used once ${FEWEST_CONTROL} points have both numbers.`
            : "Used once it has both numbers."}
        </p>
      ) : null}
      {control === undefined ? null : (
        <>
          <NumberField
            label="Each click is good to ±"
            path="shots[].control.uPx"
            value={control.uPx}
            onEntry={(uPx) => uPx && put({ ...control, uPx })}
          />
          <NumberField
            label="Each place is known to ±"
            path="shots[].control.uM"
            value={control.uM}
            onEntry={(uM) => uM !== null && put({ ...control, uM })}
          />
        </>
      )}
    </>
  );
}
