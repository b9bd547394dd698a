import { useMemo } from "react";
import { withFoundParts } from "../../../shared/measure/found-parts.ts";
import { measuringSetUp } from "../../../shared/measure/measuring-set-up.ts";
import { partsSay } from "../../../shared/measure/part-words.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import { filmedShot } from "../../../shared/session/filmed-shot.ts";
import type { Clock, Session, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { numbersHeld } from "../parts/sentences.ts";

export interface PartsFoundProps {
  readonly shot: Shot;
  readonly facts: ClipFacts;
  readonly notices: readonly ShotNotice[];
}

/** Where the motion shows more than one capture rate: the parts it implies, to be taken or not. */
export function PartsFound({ shot, facts, notices }: PartsFoundProps) {
  const actions = useActions();
  const session = useAppState(sessionOf);
  const beside = noticesBeside("parts", notices);
  const isTold = beside.length > 0;
  const found = useMemo(
    () => (isTold ? clockFound(session, shot, facts) : null),
    [isTold, session, shot, facts],
  );
  if (!isTold) return null;
  const { clock } = shot;
  if (clock === null) return null;
  const set = (next: Clock) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { clock: next } });
  const stands = clock.ratesStand === true;
  return (
    <>
      <NoticeList notices={beside} />
      {found === null ? null : (
        <p className="plain">
          {numbersHeld(
            `By the marks the clip was filmed at ${partsSay(found.captureRateHz, found.parts ?? [])}.`,
          )}{" "}
          <span className="field-hint">
            Once taken, type the camera's own rates under Clock: they are known better than marks tell them.
          </span>
        </p>
      )}
      <p className="plain buttons">
        {found === null ? null : (
          <button type="button" onClick={() => set(found)}>
            Take these {(found.parts?.length ?? 0) + 1} parts
          </button>
        )}
        <button
          type="button"
          className="quiet"
          onClick={() => set({ ...clock, ratesStand: stands ? undefined : true })}
        >
          {stands ? "The stated rate may be wrong after all" : "The stated rate is right all the same"}
        </button>
      </p>
    </>
  );
}

function clockFound(session: Session, shot: Shot, facts: ClipFacts) {
  const { borders } = measuringSetUp(filmedShot(session, shot), facts);
  return borders === undefined || shot.clock === null ? null : withFoundParts(shot.clock, borders, facts);
}
