import { useMemo } from "react";
import type { Measurement } from "../../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { frameAtTime, stripTime } from "../../strip/strip-plan.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";

const SEEN_U_FRAMES = 0.5; // an instant seen between two frames: half a frame until the person says otherwise

export interface ReleaseFieldsProps {
  readonly shot: Shot;
  readonly facts: ClipFacts | null;
  readonly measurement: Measurement | null;
}

/** Where the push ends: found in the motion, or seen by the person. */
export function ReleaseFields({ shot, facts, measurement }: ReleaseFieldsProps) {
  const actions = useActions();
  const frame = useAppState((s) => s.frame);
  const { release } = shot;
  const seen = useMemo(
    () => (release.by === "person" ? { value: release.frame, u: release.uFrames } : null),
    [release],
  );
  const set = (next: Shot["release"]) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { release: next } });
  const clockOk = facts !== null && stripTime(shot, facts, measurement).clockSet;

  function choose(by: Shot["release"]["by"]): void {
    if (by === "change-point") {
      set({ by });
      return;
    }
    const at =
      measurement === null || !clockOk
        ? frame
        : frameAtTime(stripTime(shot, facts, measurement), measurement.releaseClipS, facts.pts.length);
    set({ by, frame: Math.round(at * 10) / 10, uFrames: SEEN_U_FRAMES });
  }

  return (
    <>
      <Choice
        label="Release is"
        options={[
          ["change-point", "found in the motion"],
          ["person", "seen in the picture"],
        ]}
        value={release.by}
        onChoose={choose}
      />
      {release.by === "person" ? (
        <MeasuredField
          field={`${shot.id} release`}
          label="Frame of release"
          path="shots[].release.frame"
          measured={seen}
          uPositive
          onEntry={(typed) => typed && set({ by: "person", frame: typed.value, uFrames: typed.u })}
        />
      ) : null}
      <p className="plain">
        <button
          type="button"
          onClick={() =>
            set({ by: "person", frame, uFrames: release.by === "person" ? release.uFrames : SEEN_U_FRAMES })
          }
        >
          Release is this frame ({frame})
        </button>
      </p>
    </>
  );
}
