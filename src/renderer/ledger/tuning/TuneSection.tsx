import { useMemo, useState } from "react";
import { hasModel } from "../../../shared/launchers/launcher-models.ts";
import type { ListedLauncher } from "../../../shared/session/schema.ts";
import { tuningOf } from "../../../shared/session/what-took-part.ts";
import { likelyParameters, tunableIn, tunableParameters } from "../../../shared/tune/tunable-parameters.ts";
import { outingShotsToTune } from "../../../shared/tune/tune-faults.ts";
import type { TuneRequest } from "../../../shared/tune/tune-request.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { TUNE_KEY, toldOf } from "../../actions/tune-launcher.ts";
import { Worded } from "../../guide/Worded.tsx";
import { Choice } from "../fields/Choice.tsx";
import { OutingsPart } from "./OutingsPart.tsx";
import { RunningJob } from "./RunningJob.tsx";
import { TunedView } from "./TunedView.tsx";
import { TuneParameters } from "./TuneParameters.tsx";
import { TuningOffer } from "./TuningOffer.tsx";

type Part = "tune" | "hold-out" | "leave-out";

const PARTS: readonly (readonly [Part, string])[] = [
  ["tune", "tune on"],
  ["hold-out", "hold out"],
  ["leave-out", "leave out"],
];

const START =
  "What you stated is where the fit starts from, each value no surer than its standard uncertainty. The shots then show how much of it holds. What the launcher states stays as you wrote it.";

/**
 * Fits the launcher's uncertain inputs to the measured pushes: which inputs, on which shots, and the outcome.
 */
export function TuneSection(props: {
  /** The one that threw the shot in the window. */
  readonly launcher: ListedLauncher | null;
}) {
  const { launcher } = props;
  const actions = useActions();
  const session = useAppState((s) => s.history.present);
  const results = useAppState((s) => s.results);
  const running = useAppState((s) => s.jobs.find(({ key }) => key === TUNE_KEY) ?? null);
  const fault = useAppState((s) => s.tuneFault);
  const waiting = useAppState((s) => s.waiting);
  const launcherId = launcher?.id ?? null;
  const tuning = tuningOf(session, launcherId);
  const tunable = useMemo(() => tunableIn(session, launcherId), [session, launcherId]);
  const able = useMemo(() => tunableParameters(tunable), [tunable]);
  const elsewhere = useMemo(
    () => (launcherId === null ? [] : outingShotsToTune(session, launcherId)),
    [session, launcherId],
  );
  const own = [...session.shots.filter((shot) => shot.launcherId === launcherId), ...elsewhere];
  const measured = (id: string) => results[id]?.measurement != null || elsewhere.some((one) => one.id === id);
  const [draft, setDraft] = useState<Partial<TuneRequest>>({});
  const parameters = (draft.parameters ?? tuning?.parameters ?? likelyParameters(tunable)).filter((path) =>
    able.some((one) => one.path === path),
  );
  const heldOutShotIds = (draft.heldOutShotIds ?? tuning?.heldOutShotIds ?? []).filter(measured);
  const before = tuning?.from === undefined ? tuning?.shotIds : undefined; // from the shelf: on no shot here
  const shotIds = (draft.shotIds ?? before ?? own.map(({ id }) => id)).filter(
    (id) => measured(id) && !heldOutShotIds.includes(id),
  );
  async function start(request: TuneRequest): Promise<void> {
    await actions.tune(request);
    setDraft({});
  }
  if (launcher === null || !hasModel(launcher)) {
    return (
      <>
        <p className="plain">There is nothing to tune until a launcher with a model is described.</p>
        <OutingsPart session={session} />
      </>
    );
  }
  const partOf = (id: string): Part =>
    heldOutShotIds.includes(id) ? "hold-out" : shotIds.includes(id) ? "tune" : "leave-out";
  const setPart = (id: string, part: Part) =>
    setDraft({
      ...draft,
      shotIds: [...shotIds.filter((one) => one !== id), ...(part === "tune" ? [id] : [])],
      heldOutShotIds: [...heldOutShotIds.filter((one) => one !== id), ...(part === "hold-out" ? [id] : [])],
    });
  const lacking = parameters.length === 0 || shotIds.length === 0;
  return (
    <>
      <p className="plain">
        <Worded text={START} />
      </p>
      <h3>Inputs to tune</h3>
      <TuneParameters
        kind={launcher.kind}
        able={able}
        chosen={parameters}
        onChoose={(next) => setDraft({ ...draft, parameters: next })}
      />
      <h3>Shots</h3>
      {own.map(({ id, name }) =>
        measured(id) ? (
          <Choice
            key={id}
            label={name}
            options={PARTS}
            value={partOf(id)}
            onChoose={(part) => setPart(id, part)}
          />
        ) : (
          <p key={id} className="field-hint">
            {name} is not measured yet.
          </p>
        ),
      )}
      <OutingsPart session={session} />
      <p className="field-hint">
        A shot held out takes no part: its release speed shows what the tuned launcher is worth.
      </p>
      {running === null ? (
        <button
          type="button"
          className="tune-start"
          disabled={lacking}
          onClick={() => void start({ launcherId: launcher.id, parameters, shotIds, heldOutShotIds })}
        >
          Tune on {shotIds.length === 1 ? "one shot" : `${shotIds.length} shots`}
        </button>
      ) : (
        <RunningJob job={running} />
      )}
      {lacking && running === null ? (
        <p className="field-hint">
          {shotIds.length === 0 ? "Measure a shot and tune on it." : "Choose at least one input."}
        </p>
      ) : null}
      {fault === null ? null : (
        <p className="field-problem">
          {fault.cause} {fault.remedy}
        </p>
      )}
      {waiting.map((one) =>
        one.kind === "tune" && one.request.launcherId === launcherId ? (
          <TuningOffer key={one.job.id} offered={one} session={session} />
        ) : null,
      )}
      {tuning === undefined ? null : (
        <TunedView
          session={session}
          launcher={launcher}
          tuning={tuning}
          told={tuning.tuned === null ? undefined : toldOf(tuning.tuned)}
        />
      )}
    </>
  );
}
