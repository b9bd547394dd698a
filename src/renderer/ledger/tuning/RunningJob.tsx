import { useActions } from "../../actions/app-context.ts";
import type { AppState } from "../../app-state/app-state.ts";

/** What a job does and how far it is, where it was started, with a way to stop it. */
export function RunningJob({ job }: { readonly job: AppState["jobs"][number] }) {
  const actions = useActions();
  return (
    <p className="running-job" aria-live="polite">
      <progress value={job.fraction} max={1} aria-label={job.doing} /> {job.doing}{" "}
      <button type="button" className="quiet" onClick={() => actions.stopJob(job.key)}>
        Stop
      </button>
    </p>
  );
}
