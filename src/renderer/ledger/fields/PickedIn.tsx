import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { pointsInView } from "../../app-state/things-in-view.ts";

export interface PickedInProps {
  readonly shot: Shot;
  /** of each pick of one thing; undefined where it is not known */
  readonly frames: readonly (number | undefined)[];
}

/**
 * In which frame something was picked: said only where the camera's movement is taken out,
 * since it matters only there.
 */
export function PickedIn({ shot, frames }: PickedInProps) {
  const actions = useActions();
  const points = useAppState(pointsInView);
  const posts = new Set(points.filter((point) => point.on === "post").map((point) => point.id));
  const byPosts = shot.marks.some((mark) => posts.has(mark.pointId));
  if (!byPosts && shot.movement === undefined) return null;
  if (frames.includes(undefined)) {
    return (
      <p className="field-hint">
        Treated as picked in{" "}
        {byPosts ? "the first frame with a marked post" : `frame ${shot.movement?.referenceFrame}`}. Pick it
        again if that is wrong.
      </p>
    );
  }
  const different = [...new Set(frames as readonly number[])].sort((a, b) => a - b);
  return (
    <p className="field-hint">
      Picked in {different.length === 1 ? "frame" : "frames"}{" "}
      {different.map((frame, i) => (
        <span key={frame}>
          {i === 0 ? "" : " and "}
          <button type="button" className="quiet inline" onClick={() => actions.goTo(frame)}>
            {frame}
          </button>
        </span>
      ))}
      : how the camera moved from there is allowed for.
    </p>
  );
}
