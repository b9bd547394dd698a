import type { Scale, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { rodField } from "../../app-state/asked-fields.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { PickedIn } from "../fields/PickedIn.tsx";

/**
 * Further rods in the flight plane, each with its length; together they make the scale surer and
 * show each other's mistakes.
 */
export function RodList({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const pick = useAppState((s) => s.pick);
  const rods = shot.rods ?? [];
  const put = (next: readonly Scale[]) =>
    actions.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { rods: next.length === 0 ? undefined : [...next] },
    });
  return (
    <>
      {rods.length === 0 ? (
        <p className="plain">
          A second rod elsewhere in the flight plane narrows the scale, and shows when one is mistyped or out
          of the plane.
        </p>
      ) : null}
      {rods.map((rod, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a rod has no name but its place in the list
        <div key={at} className="group">
          <MeasuredField
            field={rodField(shot.id, at)}
            label={`Length of rod ${at + 2}`}
            path="shots[].rods[].rodM"
            measured={rod.rodM}
            hint={
              rod.rodM.u > rod.rodM.value / 4
                ? "As the first rod says, until you type what you measured."
                : undefined
            }
            onEntry={(rodM) => rodM && put(rods.with(at, { ...rod, rodM }))}
          />
          <PickedIn shot={shot} frames={[rod.aFrame, rod.bFrame]} />
          <p className="plain buttons">
            <button
              type="button"
              className="quiet"
              aria-pressed={pick?.kind === "rod" && pick.at === at}
              onClick={() => actions.choosePick({ kind: "rod", at, end: "a" })}
            >
              Pick rod {at + 2} again
            </button>
            <button type="button" className="quiet" onClick={() => put(rods.filter((_, i) => i !== at))}>
              Remove rod {at + 2}
            </button>
          </p>
        </div>
      ))}
      <p className="plain">
        <button
          type="button"
          disabled={shot.scale === null}
          aria-pressed={pick?.kind === "rod" && pick.at === rods.length}
          onClick={() => actions.choosePick({ kind: "rod", at: rods.length, end: "a" })}
        >
          Add a rod by its two ends
        </button>
      </p>
    </>
  );
}
