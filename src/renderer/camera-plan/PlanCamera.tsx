import { useId, useMemo, useRef, useState } from "react";
import { type CameraPlanInput, planInputFaults } from "../../shared/camera-plan/plan-input.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { sessionOf } from "../app-state/app-state.ts";
import { PLAN_LABELS, PlanFields } from "./PlanFields.tsx";
import { PlanFigures } from "./PlanFigures.tsx";
import { planPrefill } from "./plan-prefill.ts";
import { faultSays } from "./plan-words.ts";
import { usePlan } from "./use-plan.ts";

/** Before going out: how sure a camera set-up will make the results, and what would help most. */
export function PlanCamera() {
  const actions = useActions();
  const dialog = useRef<HTMLDialogElement>(null);
  const [input, setInput] = useState<CameraPlanInput | null>(null);
  const [edition, setEdition] = useState(0);
  const [open, setOpen] = useState(false);
  const id = useId();

  function fill(): void {
    const state = actions.store.get();
    const session = sessionOf(state);
    const measured = (shotId: string | null) =>
      shotId === null ? null : (state.results[shotId]?.measurement ?? null);
    const last =
      measured(state.shotId) !== null
        ? state.shotId
        : (session.shots.findLast((shot) => measured(shot.id) !== null)?.id ?? state.shotId);
    const shot = session.shots.find((one) => one.id === last) ?? null;
    const known = shot?.clip == null ? undefined : state.known[shot.clip];
    setInput(planPrefill(session, shot, measured(last), known?.status === "known" ? known.facts : null));
    setEdition((before) => before + 1);
  }

  return (
    <>
      <button
        type="button"
        className="quiet plan-open"
        onClick={() => {
          if (input === null) fill();
          setOpen(true);
          dialog.current?.showModal();
        }}
      >
        Plan the camera
      </button>
      <dialog ref={dialog} className="plan" aria-labelledby={id} onClose={() => setOpen(false)}>
        <header className="plan-head">
          <h2 id={id}>Plan the camera</h2>
          <button type="button" className="quiet" onClick={fill}>
            Take the last measured shot
          </button>
          <button type="button" onClick={() => dialog.current?.close()}>
            Close
          </button>
        </header>
        {open && input !== null ? <PlanPage key={edition} input={input} onChange={setInput} /> : null}
      </dialog>
    </>
  );
}

function PlanPage({
  input,
  onChange,
}: {
  readonly input: CameraPlanInput;
  readonly onChange: (input: CameraPlanInput) => void;
}) {
  const units = useAppState((s) => s.history.present.units);
  const faults = useMemo(() => planInputFaults(input), [input]);
  const { plan, fresh, whole, progress, failed, stop } = usePlan(faults.length === 0 ? input : null, units);
  return (
    <div className="plan-page">
      <form className="plan-fields" aria-label="Set-up" onSubmit={(event) => event.preventDefault()}>
        <PlanFields input={input} onChange={onChange} />
      </form>
      <section
        className={`plan-figures ${fresh ? "" : "behind"}`}
        aria-label="What it will give"
        aria-busy={progress !== null}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is scrolled by keys too
        tabIndex={0}
      >
        {faults.map((fault) => (
          <p className="field-problem" role="alert" key={fault.field}>
            {faultSays(fault, PLAN_LABELS)}
          </p>
        ))}
        {failed === null ? null : (
          <p className="field-problem" role="alert">
            This set-up could not be planned for: {failed}. Change a number and it is tried again.
          </p>
        )}
        {plan === null ? null : <PlanFigures plan={plan} units={units} whole={whole} />}
        {progress === null ? null : (
          <p className="plan-progress">
            <progress value={progress.fraction} max={1} aria-label={progress.doing} />
            <span>{progress.doing}</span>
            <button type="button" className="quiet" onClick={stop}>
              Stop
            </button>
          </p>
        )}
      </section>
    </div>
  );
}
