import { useEffect, useMemo, useState } from "react";
import type { LogReply } from "../../../shared/api/contract.ts";
import { stackOfLog } from "../../../shared/figures/stack-of-log.ts";
import { dragSays, judgeLog, type LogReport } from "../../../shared/on-board/judge-log.ts";
import { LOG_NOTICES } from "../../../shared/on-board/log-notices.ts";
import { LOG_UNITS, readLog } from "../../../shared/on-board/read-log.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import { type Fault, FaultError } from "../../../shared/quantity/notice.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import { launchInputs } from "../../../shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { PlainFigure } from "../../charts/PlainFigure.tsx";
import { faultOf } from "../../saving/autosave.ts";
import { Choice } from "../fields/Choice.tsx";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";

type Noted = NonNullable<Shot["log"]>;

/** A log of height or acceleration carried on board, held against the footage. */
export function OnBoardLog({ shot, result }: { readonly shot: Shot; readonly result: ShotResult | null }) {
  const actions = useActions();
  const session = useAppState((s) => s.history.present);
  const [names, setNames] = useState<readonly string[] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const { log } = shot;
  const file = useLog(log?.name ?? null, setFault);
  const set = (next: Noted | undefined) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { log: next } });

  async function look(): Promise<void> {
    try {
      setFault(null);
      setNames(await actions.logs());
    } catch (error) {
      setFault(faultOf(error));
    }
  }

  async function take(name: string): Promise<void> {
    try {
      setFault(null);
      const { bytes, fingerprint } = await actions.log(name);
      const as = log ?? { column: null, unit: null, assumes: "standard" as const, untilS: null };
      set({ ...as, name, bytes, fingerprint });
      setNames(null);
    } catch (error) {
      setFault(faultOf(error));
    }
  }

  return (
    <More title="Log carried on board" says={log?.name}>
      <p className="plain">
        An altimeter or an accelerometer in the airframe measures the release speed with neither clock nor
        scale, and shows its drag area. Copy its log into the field folder as a CSV file of time and height,
        or of time and the acceleration along the airframe.
      </p>
      <p className="buttons">
        <button type="button" onClick={() => void look()}>
          {log === undefined ? "Choose a log" : "Choose another log"}
        </button>
        {log === undefined ? null : (
          <button type="button" onClick={() => set(undefined)}>
            Remove the log
          </button>
        )}
      </p>
      {names === null ? null : names.length === 0 ? (
        <p className="field-hint">The field folder holds no CSV file.</p>
      ) : (
        <Choice
          label="Log in the folder"
          options={names.map((name) => [name, name] as const)}
          value={log?.name ?? null}
          onChoose={(name) => void take(name)}
        />
      )}
      {log === undefined ? null : <LogFields log={log} onLog={set} />}
      {fault === null ? null : (
        <p className="field-problem">
          {fault.cause} {fault.remedy}
        </p>
      )}
      {log === undefined || file === null ? null : (
        <LogFindings log={log} file={file} shot={shot} session={session} result={result} />
      )}
    </More>
  );
}

/** The content of a log in the folder; null while it is read, or where it cannot be. */
function useLog(name: string | null, onFault: (fault: Fault) => void): LogReply | null {
  const actions = useActions();
  const [file, setFile] = useState<LogReply | null>(null);
  useEffect(() => {
    let wanted = true;
    setFile(null);
    if (name !== null) {
      actions
        .log(name)
        .then((read) => wanted && setFile(read))
        .catch((error: unknown) => wanted && onFault(faultOf(error)));
    }
    return () => {
      wanted = false;
    };
  }, [name, actions, onFault]);
  return file;
}

function LogFields({ log, onLog }: { readonly log: Noted; readonly onLog: (log: Noted) => void }) {
  return (
    <>
      <Choice
        label="Unit of the column"
        options={[
          ["header", "as its header says"] as const,
          ...LOG_UNITS.map((unit) => [unit, unit] as const),
        ]}
        value={log.unit ?? "header"}
        onChoose={(unit) => onLog({ ...log, unit: unit === "header" ? null : unit })}
      />
      <Choice
        label="An altimeter took"
        options={[
          ["standard", "standard air, 15 °C at the ground"],
          ["day", "the day's temperature"],
        ]}
        value={log.assumes}
        onChoose={(assumes) => onLog({ ...log, assumes })}
      />
      <NumberField
        path="shots[].log.untilS"
        optional
        value={log.untilS}
        hint="Empty: heights to the greatest, accelerations for 1 s."
        onEntry={(untilS) => onLog({ ...log, untilS })}
      />
    </>
  );
}

function LogFindings(props: {
  readonly log: Noted;
  readonly file: LogReply;
  readonly shot: Shot;
  readonly session: Session;
  readonly result: ShotResult | null;
}) {
  const { log, file, shot, session, result } = props;
  const { units } = session;
  const found = useMemo((): LogReport | Fault => {
    try {
      const read = readLog(file.text, log.column, log.unit);
      return judgeLog(read, log, launchInputs(session, shot), result?.measurement ?? null);
    } catch (error) {
      if (error instanceof FaultError) return error.fault;
      throw error;
    }
  }, [log, file, session, shot, result]);
  const figure = useMemo(
    () => ("notices" in found ? stackOfLog(`${shot.id}-log`, found, units) : null),
    [found, shot.id, units],
  );
  if (!("notices" in found)) {
    return (
      <p className="field-problem">
        {found.cause} {found.remedy}
      </p>
    );
  }
  const changed = file.fingerprint !== log.fingerprint;
  return (
    <>
      {changed ? <NoticeList notices={[LOG_NOTICES["log-changed"]()]} /> : null}
      <LogTable report={found} units={units} />
      <NoticeList notices={found.notices} />
      {figure === null ? null : <PlainFigure figure={figure} />}
    </>
  );
}

function LogTable({ report, units }: { readonly report: LogReport; readonly units: UnitSet }) {
  const { releaseSpeed, dragAreaM2, releaseS } = report;
  if (releaseSpeed === null || dragAreaM2 === null || releaseS === null) return null;
  const rows = [
    ["Release speed", showMeasured(releaseSpeed, "m/s", units).text],
    ["Drag area", dragSays(dragAreaM2)],
    ["Release, on the log's clock", showMeasured(releaseS, "s", units).text],
  ] as const;
  return (
    <table className="figures">
      <caption className="for-reader">What the log says</caption>
      <tbody>
        {rows.map(([name, value]) => (
          <tr key={name}>
            <th scope="row" className="cell quiet">
              {name}
            </th>
            <td className="cell number">{numbersHeld(value)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
