import { useMemo } from "react";
import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import type { Measurement } from "../../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Launcher, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { launcherInView } from "../../app-state/things-in-view.ts";
import { frameAtTime, stripTime } from "../../strip/strip-plan.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";

// until the person says better, where the launcher does not state its travel
const GUESSED_TRAVEL = { value: 1, u: 0.1 }; // m
const SEEN_U_FRAMES = 0.5; // an instant seen between two frames: half a frame until the person says otherwise

export interface ReleaseFieldsProps {
  readonly shot: Shot;
  readonly facts: ClipFacts | null;
  readonly measurement: Measurement | null;
}

/** Where release is: found in the motion, seen by the person, or after a travel that the launcher gives. */
export function ReleaseFields({ shot, facts, measurement }: ReleaseFieldsProps) {
  const actions = useActions();
  const frame = useAppState((s) => s.frame);
  const launcher = useAppState(launcherInView);
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
    if (by === "travel") {
      set({ by, travelM: modelOf(launcher)?.travelM(launcher as Launcher) ?? GUESSED_TRAVEL });
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
          ["travel", "after a known travel"],
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
      {release.by === "travel" ? (
        <MeasuredField
          field={`${shot.id} travel`}
          path="shots[].release.travelM"
          measured={release.travelM}
          hint="from rest until the airframe is free of the launcher"
          onEntry={(typed) => typed && set({ by: "travel", travelM: typed })}
        />
      ) : null}
      {release.by === "change-point" && modelOf(launcher)?.pushesAfterRelease ? (
        <p className="plain">
          A motor that burns on hides where the launcher was left: say after which travel, or in which frame.
        </p>
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
