import { useMemo, useState } from "react";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session, Tuning } from "../../shared/session/schema.ts";
import { likelyParameters, tunableParameters } from "../../shared/tune/tunable-parameters.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { SessionTuning } from "../../shared/tune/tune-session.ts";
import { useDesk, useDeskState } from "../state/desk-context.ts";
import { Choice } from "./Choice.tsx";
import { TunedView } from "./TunedView.tsx";
import { TuneParameters } from "./TuneParameters.tsx";
import { useTune } from "./use-tune.ts";

type Part = "tune" | "hold-out" | "leave-out";

const PARTS: readonly (readonly [Part, string])[] = [
  ["tune", "tune on"],
  ["hold-out", "hold out"],
  ["leave-out", "leave out"],
];

/** What was told of tunings since the window was opened, by the values they left in the document: undo finds them again. */
const told = new WeakMap<object, SessionTuning>();

/** Fits the launcher's uncertain inputs to the measured pushes: which inputs, on which shots, and what came of it. */
export function TuneSection({ session }: { readonly session: Session }) {
  const desk = useDesk();
  const results = useDeskState((s) => s.results);
  const known = useDeskState((s) => s.known);
  const { tuning, launcher } = session;
  const able = useMemo(() => tunableParameters(session), [session]);
  const measured = (id: string) => results[id]?.measurement != null;
  const [draft, setDraft] = useState<Partial<TuneRequest>>({});
  const parameters = (draft.parameters ?? tuning?.parameters ?? likelyParameters(session)).filter((path) =>
    able.some((one) => one.path === path),
  );
  const heldOutShotIds = (draft.heldOutShotIds ?? tuning?.heldOutShotIds ?? []).filter(measured);
  const shotIds = (draft.shotIds ?? tuning?.shotIds ?? session.shots.map(({ id }) => id)).filter(
    (id) => measured(id) && !heldOutShotIds.includes(id),
  );
  const work = useTune(({ request }, value) => {
    const next: Tuning = {
      parameters: [...request.parameters],
      shotIds: [...request.shotIds],
      heldOutShotIds: [...request.heldOutShotIds],
      tuned: value.tuned,
      use: tuning?.use ?? false,
    };
    told.set(value.tuned, value);
    setDraft({});
    desk.change({ kind: "set-tuning", tuning: next });
  });
  if (launcher === null || launcher.kind === "no-model") {
    return <p className="plain">There is nothing to tune until a launcher with a model is described.</p>;
  }
  const partOf = (id: string): Part =>
    heldOutShotIds.includes(id) ? "hold-out" : shotIds.includes(id) ? "tune" : "leave-out";
  const setPart = (id: string, part: Part) =>
    setDraft({
      ...draft,
      shotIds: [...shotIds.filter((one) => one !== id), ...(part === "tune" ? [id] : [])],
      heldOutShotIds: [...heldOutShotIds.filter((one) => one !== id), ...(part === "hold-out" ? [id] : [])],
    });
  const facts = (): Record<string, ClipFacts> =>
    Object.fromEntries(
      Object.entries(known).flatMap(([clip, one]) => (one.status === "known" ? [[clip, one.facts]] : [])),
    );
  const lacking = parameters.length === 0 || shotIds.length === 0;
  return (
    <>
      <p className="plain">
        What you stated is where the fit starts from, each value no surer than its uncertainty. The shots then
        say how much of it they bear out. What the launcher states stays as you wrote it.
      </p>
      <h3>Inputs to tune</h3>
      <TuneParameters
        able={able}
        chosen={parameters}
        onChoose={(next) => setDraft({ ...draft, parameters: next })}
      />
      <h3>Shots</h3>
      {session.shots.map(({ id, name }) =>
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
      <p className="field-hint">
        A shot held out takes no part: its release speed shows what the tuned launcher is worth.
      </p>
      {work.progress === null ? (
        <button
          type="button"
          className="tune-start"
          disabled={lacking}
          onClick={() =>
            work.start({ session, request: { parameters, shotIds, heldOutShotIds }, facts: facts() })
          }
        >
          Tune on {shotIds.length === 1 ? "one shot" : `${shotIds.length} shots`}
        </button>
      ) : (
        <p className="tune-progress" aria-live="polite">
          <progress value={work.progress.fraction} max={1} /> {work.progress.doing}{" "}
          <button type="button" className="quiet" onClick={work.stop}>
            Stop
          </button>
        </p>
      )}
      {lacking && work.progress === null ? (
        <p className="field-hint">
          {shotIds.length === 0 ? "Measure a shot and tune on it." : "Choose at least one input."}
        </p>
      ) : null}
      {work.failed === null ? null : <p className="field-problem">{work.failed}</p>}
      {tuning === undefined ? null : (
        <TunedView
          session={session}
          tuning={tuning}
          told={tuning.tuned === null ? undefined : told.get(tuning.tuned)}
        />
      )}
    </>
  );
}
