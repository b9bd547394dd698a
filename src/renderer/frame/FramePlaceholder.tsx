import { useActions, useAppState } from "../actions/app-context.ts";
import { shotOf } from "../app-state/app-state.ts";
import { usableClips } from "../app-state/usable-clips.ts";

/** What stands in the frame while there is no picture: what is missing, and what to do about it. */
export function FramePlaceholder() {
  const actions = useActions();
  const shot = useAppState(shotOf);
  const knowledge = useAppState((s) => (shot?.clip == null ? undefined : s.known[shot.clip]));
  const clips = usableClips(useAppState((s) => s.clips));
  if (shot === null) {
    return (
      <p className="frame-empty">
        {clips.length === 0
          ? "This folder holds no clips that can be used yet. Copy the camera's files into it, then open it again."
          : "Make a shot of one of the folder's clips: at the side, or in the ledger."}
      </p>
    );
  }
  if (shot.clip === null) return <p className="frame-empty">This shot has no clip. Choose one under Clip.</p>;
  if (knowledge?.status === "failed") {
    return (
      <div className="frame-empty">
        <p>{knowledge.fault.cause}</p>
        <p>{knowledge.fault.remedy}</p>
        <button type="button" onClick={() => void actions.inspect(shot.clip!)}>
          Look at the clip again
        </button>
      </div>
    );
  }
  return <p className="frame-empty">Looking at {shot.clip}.</p>;
}
