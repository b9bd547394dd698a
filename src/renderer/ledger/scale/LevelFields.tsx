import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { NumberField } from "../fields/NumberField.tsx";
import { PickedIn } from "../fields/PickedIn.tsx";

/** A line known to be level, combined with the plumb. */
export function LevelFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const pick = useAppState((s) => s.pick);
  const { level } = shot;
  const put = (next: Shot["level"]) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { level: next } });
  return (
    <>
      <p className="plain">
        A levelled board, or calm water, tells the roll of the picture as a plumb does; with both, angles are
        surer.
      </p>
      <p className="plain buttons">
        <button
          type="button"
          aria-pressed={pick?.kind === "level"}
          onClick={() => actions.choosePick({ kind: "level", end: "left" })}
        >
          {level === undefined ? "Pick the level's two ends" : "Pick both ends again"}
        </button>
        {level === undefined ? null : (
          <button type="button" className="quiet" onClick={() => put(undefined)}>
            Remove the level
          </button>
        )}
      </p>
      {level === undefined ? null : (
        <>
          <NumberField
            label="It lies level to ±"
            path="shots[].level.tiltRad"
            value={level.tiltRad}
            onEntry={(tiltRad) => tiltRad !== null && put({ ...level, tiltRad })}
          />
          <NumberField
            label="Each pick of it is good to ±"
            path="shots[].level.uPx"
            value={level.uPx}
            onEntry={(uPx) => uPx && put({ ...level, uPx })}
          />
          <PickedIn shot={shot} frames={[level.leftFrame, level.rightFrame]} />
        </>
      )}
    </>
  );
}
