import { useActions, useAppState, useTools } from "../actions/app-context.ts";
import { type AfterMark, factsOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { takesTargets } from "../picking/picks.ts";
import { frameOfProposals } from "../picking/proposed.ts";
import { useStore } from "../store/store.ts";
import { FrameNumber } from "./FrameNumber.tsx";
import { PointGlyph } from "./PointGlyph.tsx";
import { ViewSheet } from "./ViewSheet.tsx";

/** Under the picture: which point a click marks and what happens then; the frame; the zoom. */
export function FrameBar() {
  const { actions, viewportControl } = useTools();
  const points = useAppState(pointsInView);
  const pointId = useAppState((s) => s.pointId);
  const marking = useAppState((s) => s.step === "marks");
  const open = useAppState((s) => factsOf(s) !== null);
  const afterMark = useAppState((s) => s.afterMark);
  const scale = useStore(viewportControl.store, (s) => s.viewport.scale);
  if (!open) return <div className="frame-bar" />;
  return (
    <div className="frame-bar">
      <div className="frame-bar-part">
        {points.map((point, i) => (
          <button
            type="button"
            key={point.id}
            className="chip"
            aria-pressed={marking && point.id === pointId}
            title={`Mark the ${point.name}: key ${i + 1}`}
            onClick={() => actions.choosePoint(point.id)}
          >
            <PointGlyph id={point.id} points={points} />
            <span>{point.name}</span>
          </button>
        ))}
        {marking ? (
          <label className="after-mark">
            then{" "}
            <select
              value={afterMark}
              onChange={(event) => actions.afterMark(event.target.value as AfterMark)}
            >
              <option value="next-frame">the next frame</option>
              <option value="next-point">the next point</option>
              <option value="stay">stay</option>
            </select>
          </label>
        ) : null}
      </div>
      <Found />
      <Snap />
      <FrameSteps />
      <div className="frame-bar-part zoom">
        <ViewSheet />
        <button
          type="button"
          className="quiet"
          title="Zoom out: −"
          aria-label="Zoom out"
          onClick={() => viewportControl.zoomStep(-1)}
        >
          −
        </button>
        <button
          type="button"
          className="quiet zoom-share"
          title="Show the whole picture: 0"
          onClick={viewportControl.showWhole}
        >
          {Math.round(scale * 100)} %
        </button>
        <button
          type="button"
          className="quiet"
          title="Zoom in: +"
          aria-label="Zoom in"
          onClick={() => viewportControl.zoomStep(1)}
        >
          +
        </button>
      </div>
    </div>
  );
}

/** Leads to the frame in which something was found that can be taken now. */
function Found() {
  const actions = useActions();
  const frame = useAppState(frameOfProposals);
  if (frame === null) return null;
  return (
    <button
      type="button"
      className="quiet"
      title="Something was found there for what is picked: P"
      onClick={() => actions.lightProposal(1)}
    >
      Found in frame {frame}
    </button>
  );
}

/** Whether clicks go to the middle of the target under them; Shift with a click turns it round. */
function Snap() {
  const actions = useActions();
  const snaps = useAppState((s) => s.snaps);
  const takes = useAppState(takesTargets);
  if (!takes) return null;
  return (
    <label
      className="after-mark"
      title="A click takes the middle of the target under it. Shift turns this round."
    >
      <input type="checkbox" checked={snaps} onChange={(event) => actions.snap(event.target.checked)} />
      target’s middle
    </label>
  );
}

function FrameSteps() {
  const actions = useActions();
  const frame = useAppState((s) => s.frame);
  const count = useAppState((s) => factsOf(s)?.pts.length ?? 0);
  const playing = useAppState((s) => s.playing);
  return (
    <div className="frame-bar-part steps">
      <button
        type="button"
        className="quiet"
        title="Frame before: ←"
        aria-label="Frame before"
        onClick={() => actions.stepBy(-1)}
      >
        ◂
      </button>
      <button
        type="button"
        className="quiet play"
        title="Space"
        onClick={() => actions.play(!playing)}
        disabled={count === 0}
      >
        {playing ? "Pause" : "Play"}
      </button>
      <button
        type="button"
        className="quiet"
        title="Next frame: →"
        aria-label="Next frame"
        onClick={() => actions.stepBy(1)}
      >
        ▸
      </button>
      <FrameNumber frame={frame} count={count} />
    </div>
  );
}
