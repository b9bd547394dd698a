import type { Lamp, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";

/** A lamp of known blinking in view: its interval, and the first frame that shows each change. */
export function LampFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const frame = useAppState((s) => s.frame);
  const { lamp } = shot;
  const set = (next: Lamp | undefined) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { lamp: next } });
  const here = lamp?.frames.includes(frame) === true;

  return (
    <>
      <p className="plain">
        A lamp or timer in view that changes at known intervals shows what the camera's rate really was.
      </p>
      <MeasuredField
        field={`${shot.id} lamp`}
        label="Between two changes"
        path="shots[].lamp.intervalS"
        optional
        measured={lamp?.intervalS ?? null}
        onEntry={(intervalS) =>
          set(intervalS === null ? undefined : { intervalS, frames: lamp?.frames ?? [] })
        }
      />
      {lamp === undefined ? null : (
        <>
          <p className="plain">
            <button type="button" aria-pressed={here} title="L" onClick={() => actions.turnLamp(frame)}>
              {here
                ? `The lamp does not change in frame ${frame}`
                : `The lamp changes in this frame (${frame})`}
            </button>
          </p>
          <p className="field-hint">
            The first frame that shows each change, without leaving one out. The arrow keys step on; L notes a
            change in the frame that is shown, or takes it back.
          </p>
          {lamp.frames.length === 0 ? null : (
            <ul className="chips" aria-label="Frames in which the lamp changes">
              {lamp.frames.map((at) => (
                <li key={at}>
                  <button type="button" className="quiet" onClick={() => actions.goTo(at)}>
                    {at}
                  </button>
                  <button
                    type="button"
                    className="quiet"
                    aria-label={`Remove the change in frame ${at}`}
                    onClick={() => actions.turnLamp(at)}
                  >
                    ×
                  </button>
                </li>
              ))}
            </ul>
          )}
        </>
      )}
    </>
  );
}
