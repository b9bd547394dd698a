import { useEffect, useState } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";
import type { WaitingMarks } from "../app-state/waiting-result.ts";
import type { JobView } from "../host/service.ts";

const SHOW_AFTER_MS = 500; // shorter work is done before one has read what it is

/**
 * Work that takes over half a second: what it does, how far it is, time left, and a way to stop it. With it,
 * marks of a follow that ended with nobody there and that a person has to decide on.
 */
export function JobList() {
  const jobs = useAppState((s) => s.jobs);
  const waiting = useAppState((s) => s.waiting);
  return (
    <div className="jobs">
      {waiting.map((one) => (one.kind === "follow" ? <MarksOffer key={one.job.id} offered={one} /> : null))}
      {jobs.map((job) => (
        <JobLine key={job.key} job={job} />
      ))}
    </div>
  );
}

function MarksOffer({ offered }: { readonly offered: WaitingMarks }) {
  const actions = useActions();
  return (
    <section className="job offer" aria-label="Marks that are not taken yet">
      <span>
        {offered.says}. {offered.doubt}
      </span>
      <span className="buttons">
        {offered.canTake ? (
          <button type="button" onClick={() => void actions.settleOffer(offered, "take")}>
            Use these marks
          </button>
        ) : null}
        <button type="button" className="quiet" onClick={() => void actions.settleOffer(offered, "discard")}>
          Discard
        </button>
      </span>
    </section>
  );
}

function JobLine({ job }: { readonly job: JobView }) {
  const actions = useActions();
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setShown(true), SHOW_AFTER_MS);
    return () => clearTimeout(timer);
  }, []);
  if (!shown) return null;
  const left = job.secondsLeft === null ? "" : `, ${Math.max(1, Math.ceil(job.secondsLeft))} s left`;
  return (
    <div className="job">
      <span>
        {job.doing}
        {left}
      </span>
      <progress value={job.fraction} max={1} aria-label={job.doing} />
      <button type="button" className="quiet" onClick={() => actions.stopJob(job.key)}>
        Stop
      </button>
    </div>
  );
}
