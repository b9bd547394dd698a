import { useState } from "react";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import type { Launcher, ListedAirframe, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { WRITE_UP_KEY } from "../../actions/finished-jobs.ts";
import { faultOf } from "../../saving/autosave.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { QuantityTable } from "../parts/QuantityTable.tsx";
import { useChangeAirframe } from "../parts/use-things-in-view.ts";
import { AfterRelease } from "./AfterRelease.tsx";
import { BifilarFields } from "./BifilarFields.tsx";
import { OnBoardLog } from "./OnBoardLog.tsx";

const LIMITS = ["wingAreaM2", "liftCoefficientMax", "loadLimitG", "pitchInertiaKgM2"] as const;

export interface VerdictSectionProps {
  readonly shot: Shot;
  readonly airframe: ListedAirframe;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
}

/** What the shot says, against what the airframe stands; and the write-up. */
export function VerdictSection({ shot, airframe, launcher, result }: VerdictSectionProps) {
  const actions = useActions();
  const changeAirframe = useChangeAirframe();
  const units = useAppState((s) => s.history.present.units);
  const running = useAppState((s) => s.jobs.some((job) => job.key === WRITE_UP_KEY));
  const [files, setFiles] = useState<readonly string[] | null>(null);

  async function writeUp(): Promise<void> {
    setFiles(null);
    try {
      await actions.saveNow(); // the write-up is made from what the folder holds
      const job = await actions.runJob(WRITE_UP_KEY, { kind: "write-up" });
      if (job.state !== "done") return;
      setFiles(job.files ?? []);
      await actions.takeResult(job);
    } catch (error) {
      actions.tell("warning", faultOf(error));
    }
  }

  return (
    <>
      {result?.comparison == null ? null : (
        <>
          {result.comparison.reading === null ? null : (
            <p className="plain">{result.comparison.reading.text}</p>
          )}
          <p className="field-hint">Aligned by: {result.comparison.alignment.how}.</p>
        </>
      )}
      {result === null ? null : (
        <>
          <QuantityTable result={result} units={units} />
          <NoticeList notices={noticesBeside("altimeter", result.notices)} />
        </>
      )}
      <h3>What the airframe withstands</h3>
      {LIMITS.map((key) => (
        <MeasuredField
          key={key}
          field={key}
          path={`airframe.${key}`}
          optional
          measured={airframe[key]}
          onEntry={(measured) => changeAirframe({ [key]: measured })}
        />
      ))}
      <BifilarFields key={airframe.id} massKg={airframe.massKg} />
      <AfterRelease shot={shot} airframe={airframe} launcher={launcher} result={result} units={units} />
      <OnBoardLog shot={shot} result={result} />
      <h3>Write-up</h3>
      <p className="plain">
        Report, figures, marks and motion of every shot, written into the field folder.{" "}
        <button type="button" onClick={() => void writeUp()} disabled={running}>
          {running ? "Being written" : "Make the write-up"}
        </button>
      </p>
      {files === null ? null : (
        <div className="plain" role="status">
          Written into the field folder:
          <ul className="files">
            {files.map((file) => (
              <li key={file}>{file}</li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}
