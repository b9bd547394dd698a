import { cameraSeen } from "../../../shared/measure/camera-look.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { steadyKey } from "../../actions/camera-movement.ts";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";

export interface MovementPartProps {
  readonly shot: Shot;
  readonly facts: ClipFacts;
  readonly notices: readonly ShotNotice[];
}

/** Whether the camera moved, and the one action that takes it out. */
export function MovementPart({ shot, facts, notices }: MovementPartProps) {
  const actions = useActions();
  const running = useAppState((s) => s.jobs.some(({ key }) => key === steadyKey(shot.id)));
  const beside = noticesBeside("movement", notices);
  const seen = cameraSeen(shot, facts);
  const moves = seen !== null && seen !== "unseen" && seen.moves;
  const { movement } = shot;
  const isOut = movement !== undefined;
  if (!isOut && !moves && beside.length === 0) return null;
  const forget = () =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { movement: undefined } });
  return (
    <>
      <NoticeList notices={beside} />
      {isOut ? (
        <p className="plain">The background was followed in {movement.frames.length} frames.</p>
      ) : null}
      {isOut || moves ? (
        <p className="buttons">
          <button type="button" disabled={running} onClick={() => void actions.takeMovementOut(shot.id)}>
            {running
              ? "Following the background"
              : isOut
                ? "Follow it again"
                : "Take the camera's movement out"}
          </button>
          {isOut ? (
            <button type="button" className="quiet" disabled={running} onClick={forget}>
              Leave the movement in
            </button>
          ) : null}
        </p>
      ) : null}
    </>
  );
}
