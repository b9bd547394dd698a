import { useEffect, useState } from "react";
import type { Session } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { OUTING_KEY } from "../../actions/outing-actions.ts";
import { faultOf } from "../../saving/autosave.ts";
import { More } from "../fields/More.tsx";
import { OneOuting } from "./OneOuting.tsx";
import { RunningJob } from "./RunningJob.tsx";

/** Other field folders whose shots count with this session's: named, matched, read again, left out. */
export function OutingsPart({ session }: { readonly session: Session }) {
  const actions = useActions();
  const running = useAppState((s) => s.jobs.find(({ key }) => key === OUTING_KEY) ?? null);
  const { standings, fault } = useAppState((s) => s.outings);
  const { outings = [] } = session;
  useEffect(() => {
    void actions.lookAtOutings();
  }, [actions]);
  const count = outings.length;
  const changed = outings.filter(({ id }) => standings[id] === "changed").length;
  const named = count === 0 ? "none named" : count === 1 ? "one named" : `${count} named`;
  return (
    <More title="Other outings" says={changed === 0 ? named : `${named}, ${changed} changed since`}>
      <p className="field-hint">
        Measured shots of another field folder count here: in tuning, in repeats, in the table and the charts
        of the day. The folder is only read, and the numbers needed are kept in this session.
      </p>
      {outings.map((outing) => (
        <OneOuting
          key={outing.id}
          outing={outing}
          session={session}
          standing={standings[outing.id] ?? null}
          busy={running !== null}
        />
      ))}
      {running === null ? <NameOuting /> : <RunningJob job={running} />}
      {fault === null ? null : (
        <p className="field-problem" role="alert">
          {fault.cause} {fault.remedy}
        </p>
      )}
    </More>
  );
}

/** The path of another folder, typed or picked. */
function NameOuting() {
  const actions = useActions();
  const canPick = useAppState((s) => s.host?.canPickFolder === true);
  const [path, setPath] = useState("");
  const name = (wanted: string) => void actions.readOuting(wanted, null).then((done) => done && setPath(""));
  async function pick(): Promise<void> {
    try {
      const picked = await actions.service.pickFolder();
      if (picked !== null) name(picked);
    } catch (error) {
      actions.tell("warning", faultOf(error));
    }
  }
  return (
    <>
      <div className="field">
        <label className="field-label" htmlFor="outing-path">
          Folder of another outing
        </label>
        <input
          id="outing-path"
          type="text"
          value={path}
          placeholder="../folder"
          autoComplete="off"
          spellCheck={false}
          onChange={(event) => setPath(event.target.value)}
          onKeyDown={(event) => {
            if (event.key === "Enter" && path.trim() !== "") name(path.trim());
          }}
        />
      </div>
      <p className="buttons">
        <button type="button" disabled={path.trim() === ""} onClick={() => name(path.trim())}>
          Name this outing
        </button>
        {canPick ? (
          <button type="button" className="quiet" onClick={() => void pick()}>
            Pick its folder
          </button>
        ) : null}
      </p>
    </>
  );
}
