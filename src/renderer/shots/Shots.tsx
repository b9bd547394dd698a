import { memo, useState } from "react";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { FaultCode } from "../../shared/quantity/fault-codes.ts";
import type { Shot } from "../../shared/session/schema.ts";
import { useActions, useAppState, useTools } from "../actions/app-context.ts";
import { sessionOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import { frameWorthSeeing } from "../app-state/frame-worth-seeing.ts";
import { useStore } from "../store/store.ts";
import { AddShots } from "./AddShots.tsx";
import { OpenFolder } from "./OpenFolder.tsx";

/** The shots of the day, each with its release speed; the folder's other clips; another folder. */
export function Shots() {
  const actions = useActions();
  const shots = useAppState(sessionOf).shots;
  const current = useAppState((s) => s.shotId);
  const face = useAppState((s) => s.face);
  return (
    <nav className="shots" aria-label="Shots">
      <button
        type="button"
        className="day-button"
        aria-pressed={face === "day"}
        title="Every shot as a row; curves of chosen shots"
        onClick={() => actions.showFace(face === "day" ? "frame" : "day")}
      >
        The day
      </button>
      <ol>
        {shots.map((shot, i) => (
          <li key={shot.id}>
            <ShotCard shot={shot} number={i + 1} current={shot.id === current} />
          </li>
        ))}
      </ol>
      <AddShots />
      <OpenFolder />
    </nav>
  );
}

/** Faults of a clip whose file is not there. */
const MISSING: ReadonlySet<FaultCode> = new Set<FaultCode>(["no-such-clip", "clip-gone", "clip-missing"]);

interface ShotCardProps {
  readonly shot: Shot;
  readonly number: number;
  readonly current: boolean;
}

const ShotCard = memo(function ShotCard({ shot, number, current }: ShotCardProps) {
  const { actions, viewportControl } = useTools();
  const pictureShown = useStore(viewportControl.store, (s) => s.shown);
  const knowledge = useAppState((s) => (shot.clip === null ? undefined : s.known[shot.clip]));
  const result = useAppState((s) => s.results[shot.id] ?? null);
  const units = useAppState((s) => s.history.present.units);
  const isOther = useAppState((s) => shot.clip !== null && standingOf(s, shot.clip) === "other");
  const [pinned, setPinned] = useState<number | null>(null);
  const speed = result?.measurement?.quantities.releaseSpeed;
  const facts = knowledge?.status === "known" ? knowledge.facts : null;
  const missing = knowledge?.status === "failed" && MISSING.has(knowledge.fault.code);
  const worth = frameWorthSeeing(shot, result);
  // The picture stays what it first was: a thumbnail that follows every mark is only restless.
  if (facts !== null && pinned === null && shot.marks.length > 0) setPinned(worth);
  const frame = Math.min(pinned ?? worth, (facts?.pts.length ?? 1) - 1);
  const shown = speed === undefined ? null : showMeasured(speed, speed.unit, units);
  return (
    <button
      type="button"
      className={`shot ${current ? "current" : ""}`}
      aria-current={current ? "true" : undefined}
      title={shot.name}
      onClick={() => {
        actions.chooseShot(shot.id);
        actions.showFace("frame");
      }}
    >
      {pictureShown && facts !== null && shot.clip !== null ? (
        <img src={actions.service.frameUrl(shot.clip, frame, "half", facts)} alt="" loading="lazy" />
      ) : (
        <span className="shot-blank" />
      )}
      <span className="shot-number">{number}</span>
      <span className="shot-name-line">{shot.name}</span>
      {missing ? <span className="shot-name-line">clip missing</span> : null}
      {shown === null ? (
        <span className="shot-name-line">{isOther ? "another clip" : "not measured"}</span>
      ) : (
        <span className="shot-speed">
          {shown.value} {shown.symbol}
        </span>
      )}
    </button>
  );
});
