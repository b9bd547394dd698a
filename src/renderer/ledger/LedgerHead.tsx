import { useState } from "react";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { useActions, useAppState, useTools } from "../actions/app-context.ts";
import { airframeInView } from "../app-state/things-in-view.ts";
import { PlanCamera } from "../camera-plan/PlanCamera.tsx";
import { useStore } from "../store/store.ts";
import { TextField } from "./fields/TextField.tsx";
import { HistoryPanel } from "./history/HistoryPanel.tsx";
import { OfferList } from "./history/OfferList.tsx";
import { PeekBanner } from "./history/PeekBanner.tsx";
import { numbersHeld } from "./parts/sentences.ts";
import { isReadOnly, saveText } from "./save-text.ts";

export interface LedgerHeadProps {
  readonly shot: Shot | null;
}

/**
 * The top of the page: undo and redo, where the document stands, units and light; then the
 * shot's name and circumstances.
 */
export function LedgerHead({ shot }: LedgerHeadProps) {
  const actions = useActions();
  const { theme } = useTools();
  const shown = useStore(theme.store, (s) => s.theme);
  const save = useAppState((s) => s.save);
  const folderName = useAppState((s) => s.folderName);
  const access = useAppState((s) => s.access);
  const readOnlyReason = useAppState((s) => s.readOnlyReason);
  const nextUndo = useAppState((s) => s.history.past.at(-1)?.says ?? null);
  const nextRedo = useAppState((s) => s.history.future[0]?.says ?? null);
  const walked = useAppState((s) => s.walked);
  const [historyOpen, openHistory] = useState(false);
  const airframe = useAppState(airframeInView);
  const title = useAppState((s) => s.history.present.title);
  const units = useAppState((s) => s.history.present.units);
  const about = [
    title || folderName,
    airframe.name,
    airframe.massKg === null ? "" : showMeasured(airframe.massKg, "kg", units).text,
  ].filter((part) => part !== "");
  return (
    <header className="ledger-head">
      <div className="ledger-tools">
        <button
          type="button"
          className="quiet"
          disabled={nextUndo === null}
          title={nextUndo === null ? "Ctrl+Z" : `${nextUndo} (Ctrl+Z)`}
          onClick={actions.undo}
        >
          Undo
        </button>
        <button
          type="button"
          className="quiet"
          disabled={nextRedo === null}
          title={nextRedo === null ? "Ctrl+Shift+Z" : `${nextRedo} (Ctrl+Shift+Z)`}
          onClick={actions.redo}
        >
          Redo
        </button>
        <button
          type="button"
          className="quiet"
          aria-expanded={historyOpen}
          onClick={() => openHistory(!historyOpen)}
        >
          History
        </button>
        <span className={`save ${save.status}`} role="status" data-testid="save">
          {saveText(save, access)}
        </span>
        <select
          aria-label="Units"
          value={units}
          onChange={(event) =>
            actions.change({ kind: "set-units", units: event.target.value as Session["units"] })
          }
        >
          <option value="SI">SI units</option>
          <option value="field">ft, psi, g</option>
        </select>
        <button
          type="button"
          className="quiet"
          aria-pressed={shown === "dark"}
          title="Light or dark"
          onClick={() => theme.choose(shown === "dark" ? "light" : "dark")}
        >
          {shown === "dark" ? "Light" : "Dark"}
        </button>
      </div>
      <p className="walked" role="status">
        {walked === null ? "" : `${walked.says}.`}
      </p>
      <PeekBanner />
      <OfferList />
      {access === "read-only" || isReadOnly(save) ? (
        <div className="notice note" role="note" data-testid="read-only">
          This folder is read-only{readOnlyReason === null ? "" : `: ${readOnlyReason}`}. What you change is
          kept only in this window.{" "}
          <span className="remedy">To save it, copy the folder to a disk of your own and open the copy.</span>
        </div>
      ) : null}
      {save.status === "failed" && !isReadOnly(save) ? (
        <div className="notice warning" role="alert">
          {save.fault.cause} <span className="remedy">{save.fault.remedy}</span>{" "}
          <button type="button" onClick={() => void actions.saveNow()}>
            Save now
          </button>
        </div>
      ) : null}
      {save.status === "conflict" ? (
        <div className="notice warning" role="alert">
          {save.fault.cause}{" "}
          <span className="remedy">Whichever you keep, Undo brings the other one back.</span>{" "}
          <button type="button" onClick={() => void actions.settleConflict("theirs")}>
            Take the folder's
          </button>{" "}
          <button type="button" onClick={() => void actions.settleConflict("mine")}>
            Keep this window's
          </button>
        </div>
      ) : null}
      {historyOpen ? <HistoryPanel /> : null}
      {shot === null ? (
        <h1>Loftmark</h1>
      ) : (
        <h1>
          <TextField
            label="Name of the shot"
            hideLabel
            className="shot-name"
            value={shot.name}
            most={80}
            onEntry={(name) => actions.change({ kind: "update-shot", shotId: shot.id, patch: { name } })}
          />
        </h1>
      )}
      <div className="ledger-about">
        <span>{numbersHeld(about.join(" · "))}</span>
        <PlanCamera />
        <button
          type="button"
          className="quiet plan-open"
          title="How to do it, and what the words mean; ? for the keys"
          onClick={() => actions.showGuide("Seven steps")}
        >
          Guide
        </button>
      </div>
    </header>
  );
}
