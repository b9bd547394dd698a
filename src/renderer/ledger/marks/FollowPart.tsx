import type { Point, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import {
  canFollow,
  followingOf,
  followKey,
  nearestHand,
  pointsToFollow,
} from "../../actions/follow-point.ts";
import { factsOf, markAt } from "../../app-state/app-state.ts";

const SHOWN = 6; // doubtful marks; accepting or correcting some brings up the next

/**
 * Following the current point, onwards or backwards from its nearest hand mark, or all points both ways; the
 * outcome, and taking it back.
 */
export function FollowPart({ shot, point }: { readonly shot: Shot; readonly point: Point }) {
  const actions = useActions();
  const key = followKey(shot.id, point.id);
  const able = useAppState(canFollow);
  const running = useAppState((s) => followingOf(s, shot.id, point.id));
  const frame = useAppState((s) => s.frame);
  const last = useAppState((s) => (factsOf(s)?.pts.length ?? 0) - 1);
  const note = useAppState((s) => s.follows[key] ?? null);
  const from = nearestHand(shot, point.id, frame) ?? -1;
  const all = useAppState((s) => pointsToFollow(s).join(" ")).split(" ");
  const count = shot.marks.filter((mark) => mark.pointId === point.id && mark.by === "follower").length;
  const ended = note?.end ?? null;

  return (
    <>
      <h3>Follow a point</h3>
      {running === null ? (
        <div className="buttons">
          <button
            type="button"
            disabled={!able || from >= last}
            title="Follow onwards: F"
            onClick={() => void actions.follow(false)}
          >
            Follow the {point.name} onwards
          </button>
          <button
            type="button"
            disabled={!able || from <= 0}
            title="Follow backwards: Shift+F"
            onClick={() => void actions.follow(true)}
          >
            Backwards
          </button>
          {all.length < 2 ? null : (
            <button type="button" title="Follow all: A" onClick={() => void actions.followAll()}>
              Follow all
            </button>
          )}
        </div>
      ) : (
        <div className="buttons" role="status">
          <progress value={running.fraction} max={1} aria-label={running.doing} />
          <button type="button" onClick={() => actions.stopJob(running.key)}>
            Stop
          </button>
          <span className="plain">{running.doing}</span>
        </div>
      )}
      {running !== null || from === frame ? null : (
        <p className="field-hint">
          {from < 0
            ? `Mark the ${point.name} by hand in one frame; it can then be followed from there.`
            : `From its hand mark in frame ${from}, the nearest.`}
        </p>
      )}
      {note === null || (count === 0 && ended === null) ? null : (
        <>
          {count === 0 ? null : <p className="plain">{note.says}</p>}
          {ended === null ? null : (
            <ul className="notices">
              <li className="notice warning">
                <span>{ended.fault.cause}</span> <span className="remedy">{ended.fault.remedy}</span>{" "}
                <button type="button" onClick={() => actions.goTo(ended.frame)}>
                  Go to frame {ended.frame}
                </button>
              </li>
            </ul>
          )}
          {note.more.map((text) => (
            <p className="plain" key={text}>
              {text}
            </p>
          ))}
          <Doubtful shot={shot} point={point} noteKey={key} />
        </>
      )}
      {count === 0 ? null : (
        <button
          type="button"
          className="quiet"
          onClick={() =>
            actions.change({ kind: "remove-marks", shotId: shot.id, pointId: point.id, by: "follower" })
          }
        >
          Remove the follower's {count === 1 ? "mark" : `${count} marks`} of the {point.name}
        </button>
      )}
    </>
  );
}

/**
 * The follower's marks that should be looked at; those that were removed or placed by hand since are settled.
 */
function Doubtful({
  shot,
  point,
  noteKey,
}: {
  readonly shot: Shot;
  readonly point: Point;
  readonly noteKey: string;
}) {
  const actions = useActions();
  const doubtful = useAppState((s) => s.follows[noteKey]?.doubtful ?? NONE);
  const open = doubtful.filter(({ frame }) => markAt(shot, point.id, frame)?.by === "follower");
  if (open.length === 0) return null;
  return (
    <>
      <ul className="notices">
        {open.slice(0, SHOWN).map(({ frame, text }) => (
          <li key={frame} className="notice warning">
            Frame {frame}: {text}.{" "}
            <button type="button" onClick={() => actions.goTo(frame)}>
              Look
            </button>{" "}
            <button type="button" onClick={() => actions.acceptDoubt(noteKey, frame)}>
              Accept
            </button>
          </li>
        ))}
      </ul>
      {open.length === 1 ? null : (
        <button type="button" className="quiet" onClick={() => actions.acceptDoubt(noteKey, null)}>
          Accept all {open.length} doubtful marks
        </button>
      )}
    </>
  );
}

const NONE: readonly never[] = [];
