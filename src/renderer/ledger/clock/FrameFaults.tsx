import { useMemo, useState } from "react";
import { droppedByTimestamps } from "../../../shared/clock/dropped-frames.ts";
import { missingFrames } from "../../../shared/measure/missing-frames.ts";
import { type ClipFacts, timestampsS } from "../../../shared/session/clip-facts.ts";
import type { Clock, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { pointsInView } from "../../app-state/things-in-view.ts";
import { faultOf } from "../../saving/autosave.ts";
import { numbersHeld } from "../parts/sentences.ts";
import { gapsSay, repeatsFound } from "./clock-words.ts";

const KINDS = [
  ["inserted", "padding that took no time"],
  ["stale", "lost frames"],
] as const;

/** Frames that the file shows twice, and frames that it lacks. */
export function FrameFaults({ shot, facts }: { readonly shot: Shot; readonly facts: ClipFacts }) {
  return (
    <>
      <RepeatedFrames shot={shot} clip={facts.name} />
      {shot.clock?.kind === "capture-rate" ? (
        <MissingFrames shot={shot} clock={shot.clock} facts={facts} />
      ) : null}
    </>
  );
}

function RepeatedFrames({ shot, clip }: { readonly shot: Shot; readonly clip: string }) {
  const actions = useActions();
  const points = useAppState(pointsInView);
  const key = `differences ${clip}`;
  const running = useAppState((s) => s.jobs.some((job) => job.key === key));
  const [differences, setDifferences] = useState<readonly (number | null)[] | null>(null);
  const { clock } = shot;
  const found = useMemo(
    () => (differences === null ? null : repeatsFound(differences, shot, points)),
    [differences, shot, points],
  );
  if (clock === null) return null;
  const set = (repeats: Clock["repeats"]) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { clock: { ...clock, repeats } } });

  async function look(): Promise<void> {
    try {
      const job = await actions.runJob(key, { kind: "differences", clip });
      if (job.state === "done") setDifferences(job.differences);
    } catch (error) {
      actions.tell("warning", faultOf(error));
    }
  }

  const frames = clock.repeats?.frames ?? found?.frames ?? [];
  return (
    <>
      <p className="plain">
        <button type="button" disabled={running} onClick={() => void look()}>
          {running ? "Looking" : "Look for repeated frames"}
        </button>
      </p>
      {found === null ? null : (
        <p className="plain" role="status">
          {numbersHeld(found.text)}
        </p>
      )}
      {clock.repeats === undefined ? null : (
        <p className="plain">
          {clock.repeats.frames.length} repeated{" "}
          {clock.repeats.frames.length === 1 ? "frame is" : "frames are"} allowed for, as{" "}
          {KINDS.find(([kind]) => kind === clock.repeats?.kind)?.[1]}.
        </p>
      )}
      {frames.length === 0 ? null : (
        <p className="plain buttons">
          {KINDS.filter(([kind]) => kind !== clock.repeats?.kind).map(([kind, words]) => (
            <button type="button" key={kind} onClick={() => set({ frames: [...frames], kind })}>
              {found?.kind === kind ? "Use them as" : "They are"} {words}
            </button>
          ))}
          {clock.repeats === undefined ? null : (
            <button type="button" className="quiet" onClick={() => set(undefined)}>
              Leave them as they are
            </button>
          )}
        </p>
      )}
    </>
  );
}

function MissingFrames({
  shot,
  clock,
  facts,
}: {
  readonly shot: Shot;
  readonly clock: Extract<Clock, { kind: "capture-rate" }>;
  readonly facts: ClipFacts;
}) {
  const actions = useActions();
  const points = useAppState((s) => s.history.present.points);
  const even = useMemo(() => droppedByTimestamps(timestampsS(facts)).ok, [facts]);
  const gaps = useMemo(() => missingFrames(shot, clock, points, facts), [shot, clock, points, facts]);
  const set = (next: typeof clock.gaps) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { clock: { ...clock, gaps: next } } });
  const used = clock.gaps ?? [];
  if (gaps.length === 0 && used.length === 0) {
    return (
      <p className="field-hint">
        {even
          ? "The file's timestamps show no missing frame."
          : "The file's timestamps are too few or too uneven to show missing frames."}
      </p>
    );
  }
  return (
    <>
      <p className="plain">
        {used.length > 0
          ? `${gapsSay(used)} They are allowed for.`
          : `${gapsSay(gaps)} Without them, everything after a gap seems too early.`}
      </p>
      <p className="plain">
        {used.length > 0 ? (
          <button type="button" className="quiet" onClick={() => set(undefined)}>
            Leave the gaps out
          </button>
        ) : (
          <button
            type="button"
            onClick={() => set(gaps.map(({ afterFrame, missing }) => ({ afterFrame, missing })))}
          >
            Allow for the missing frames
          </button>
        )}
      </p>
    </>
  );
}
