import { useMemo } from "react";
import { chartOfNextShot } from "../../../shared/figures/chart-of-next-shot.ts";
import type { NextShotReport } from "../../../shared/next-shot/next-shot-report.ts";
import { answerSays, intervalSays, limitsSay } from "../../../shared/next-shot/next-shot-words.ts";
import type { UnitSet } from "../../../shared/quantity/display.ts";
import { FigureView } from "../../charts/FigureView.tsx";
import { Worded } from "../../guide/Worded.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { LimitTable, MotorTable, RepeatTables } from "./NextShotTables.tsx";

interface Answered {
  readonly report: NextShotReport;
  readonly units: UnitSet;
}

/** What to set, how sure that is, within which limits, and how repeatable the shots were. */
export function NextShotAnswer({ report, units, motors }: Answered & { readonly motors: boolean }) {
  const chart = useMemo(() => chartOfNextShot(report, units), [report, units]);
  return (
    <>
      <AnswerSentences report={report} units={units} />
      <NoticeList notices={report.cautions.filter(({ level }) => level !== "note")} />
      {chart === null ? null : <FigureView figure={chart} caption />}
      {motors ? <MotorTable motors={report.motors} units={units} /> : null}
      <Limits report={report} units={units} />
      <NoticeList notices={report.cautions.filter(({ level }) => level === "note")} />
      <h3>Repeats</h3>
      <RepeatTables groups={report.groups} units={units} />
    </>
  );
}

function AnswerSentences({ report, units }: Answered) {
  const answer = answerSays(report, units);
  const breaks = report.answer?.insideLimits === false;
  return (
    <>
      {answer === null ? null : (
        <p className={`next-answer ${breaks ? "outside" : ""}`}>
          <Worded text={numbersHeld(answer)} />
        </p>
      )}
      <NoticeList notices={report.notices} />
      {report.answer === null || breaks ? null : (
        <p className="plain-says">
          <Worded text={numbersHeld(intervalSays(report, units))} />
        </p>
      )}
    </>
  );
}

function Limits({ report, units }: Answered) {
  if (report.limits.length === 0) return null;
  return (
    <>
      <h3>Limits {report.answer === null ? "as it is set now" : "at this setting"}</h3>
      {report.notices.length > 0 ? null : (
        <p className="plain-says">
          <Worded text={numbersHeld(limitsSay(report, units))} />
        </p>
      )}
      <LimitTable limits={report.limits} units={units} />
    </>
  );
}
