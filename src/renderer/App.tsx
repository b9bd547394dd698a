import type { ReactNode } from "react";
import { useActions, useAppState } from "./actions/app-context.ts";
import { useGlobalKeys } from "./actions/use-global-keys.ts";
import { sessionOf } from "./app-state/app-state.ts";
import { PartBoundary } from "./boundary/PartBoundary.tsx";
import { LARGE_PLACE } from "./charts/FigureView.tsx";
import { DayFace } from "./day/DayFace.tsx";
import { FailedView } from "./FailedView.tsx";
import { FrameBar } from "./frame/FrameBar.tsx";
import { FrameView } from "./frame/FrameView.tsx";
import { JobList } from "./frame/JobList.tsx";
import { GuideDialog } from "./guide/GuideDialog.tsx";
import { Ledger } from "./ledger/Ledger.tsx";
import { SidePane } from "./SidePane.tsx";
import { Shots } from "./shots/Shots.tsx";
import { Strip } from "./strip/Strip.tsx";

/** The window: shots at the side, the frame with the strip below it, the ledger. */
export function App() {
  const phase = useAppState((s) => s.phase);
  const fault = useAppState((s) => s.fault);
  const face = useAppState((s) => s.face);
  useGlobalKeys();
  if (phase === "failed" && fault !== null) return <FailedView fault={fault} />;
  if (phase === "opening") {
    return (
      <main className="opening">
        <h1>Loftmark</h1>
        <p>The field folder is being opened.</p>
      </main>
    );
  }
  return (
    <div className="window">
      <Part name="The list of shots">
        <Shots />
      </Part>
      <div className="desk">
        {face === "day" ? (
          <>
            <Part name="The day">
              <DayFace />
            </Part>
            <OverFrame />
          </>
        ) : null}
        <div id={LARGE_PLACE} />
        <div className="frame-box" inert={face !== "frame"}>
          <Part name="The frame">
            <FrameView />
          </Part>
          {face === "frame" ? <OverFrame /> : null}
        </div>
        <div className="under-frame" inert={face !== "frame"}>
          <Part name="The strip">
            <FrameBar />
            <Strip />
          </Part>
        </div>
      </div>
      <SidePane>
        <Part name="The ledger">
          <Ledger />
        </Part>
      </SidePane>
      <Part name="The guide">
        <GuideDialog />
      </Part>
    </div>
  );
}

/** A part of the window that fails alone, and is tried again at the next step of the session. */
function Part({ name, children }: { readonly name: string; readonly children: ReactNode }) {
  const session = useAppState(sessionOf);
  return (
    <PartBoundary name={name} drawnFrom={session}>
      {children}
    </PartBoundary>
  );
}

/** What must be seen whichever face is shown: work that goes on, and notices. */
function OverFrame() {
  return (
    <div className="over-frame">
      <JobList />
      <NoticesOverFrame />
    </div>
  );
}

function NoticesOverFrame() {
  const actions = useActions();
  const notices = useAppState((s) => s.notices);
  return (
    <div className="app-notices" aria-live="polite">
      {notices.map(({ id, level, fault }) => (
        <div key={id} className={`notice ${level}`}>
          {fault.cause} <span className="remedy">{fault.remedy}</span>{" "}
          <button type="button" className="quiet" onClick={() => actions.dismiss(id)}>
            Dismiss
          </button>
        </div>
      ))}
    </div>
  );
}
