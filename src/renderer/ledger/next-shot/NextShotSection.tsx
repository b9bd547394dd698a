import { useMemo } from "react";
import { chartOfNextShot } from "../../../shared/figures/chart-of-next-shot.ts";
import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import { askOf } from "../../../shared/next-shot/next-shot.ts";
import { answerSays, intervalSays, limitsSay } from "../../../shared/next-shot/next-shot-words.ts";
import { shotSpeeds } from "../../../shared/next-shot/repeats.ts";
import { choicesFor } from "../../../shared/next-shot/setting.ts";
import type { Launcher, NextShot, Session, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { Choice } from "../fields/Choice.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { FigureView } from "../parts/FigureView.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { LimitTable, MotorTable, RepeatTables } from "./NextShotTables.tsx";
import { useNextShot } from "./use-next-shot.ts";

const CHOICE_WORDS: Readonly<Record<NextShot["choose"], string>> = {
  pressure: "the pressure",
  mass: "the mass",
  stroke: "the stroke",
  motor: "the motors",
  draw: "the draw",
};

/** What a choice is called on a launcher, which may have its own words for it. */
function wordsOf(choose: NextShot["choose"], launcher: Launcher | null): string {
  const setting = modelOf(launcher)?.settings.find((one) => one.choose === choose);
  return setting?.called?.words ?? CHOICE_WORDS[choose];
}

/** What to set for a wanted release speed, within which limits, and how repeatable the shots were. */
export function NextShotSection({ shot, session }: { readonly shot: Shot; readonly session: Session }) {
  const actions = useActions();
  const results = useAppState((s) => s.results);
  const ask = askOf(session);
  const speeds = useMemo(() => shotSpeeds(session, Object.values(results)), [session, results]);
  const { report, fresh, failed } = useNextShot(session, shot, ask, speeds);
  const { units, launcher } = session;
  const chart = useMemo(() => (report === null ? null : chartOfNextShot(report, units)), [report, units]);
  const change = (part: Partial<NextShot>) =>
    actions.change({ kind: "set-next-shot", nextShot: { ...ask, ...part } });
  const choices = choicesFor(launcher);
  const wanted = ask.speedMPerS;
  const answer = report === null ? null : answerSays(report, units);
  const breaks = report?.answer?.insideLimits === false;
  if (modelOf(launcher)?.push === null) {
    return report === null ? null : (
      <div className={`next-shot ${fresh ? "" : "behind"}`} aria-busy={!fresh}>
        <h3>Repeats</h3>
        <RepeatTables groups={report.groups} units={units} />
      </div>
    );
  }
  return (
    <>
      <NumberField
        label="Release speed wanted"
        path="nextShot.speedMPerS"
        optional
        digits={4}
        value={wanted?.value ?? null}
        onEntry={(value) => change({ speedMPerS: value === null ? null : { value, u: wanted?.u ?? 0 } })}
      />
      {wanted === null ? null : (
        <NumberField
          label="It may be off by ±"
          kind="speed"
          rule="not-negative"
          value={wanted.u}
          onEntry={(u) => u !== null && change({ speedMPerS: { value: wanted.value, u } })}
        />
      )}
      {choices.length === 0 ? null : (
        <Choice
          label="To get it, change"
          options={choices.map((choose) => [choose, wordsOf(choose, launcher)] as const)}
          value={choices.includes(ask.choose) ? ask.choose : null}
          onChoose={(choose) => change({ choose })}
        />
      )}
      <NumberField
        label="Least stall margin"
        path="nextShot.leastStallMargin"
        optional
        value={ask.leastStallMargin}
        hint="Release airspeed over stall speed at least; builders keep 1.2 to 1.3."
        onEntry={(leastStallMargin) => change({ leastStallMargin })}
      />
      <div className={`next-shot ${fresh ? "" : "behind"}`} aria-busy={!fresh} aria-live="polite">
        {failed === null || !fresh ? null : (
          <p className="field-problem">
            This could not be solved: {failed}. Undo the last change; nothing is lost.
          </p>
        )}
        <p className="next-works">
          {fresh ? "" : report === null ? "Calculating." : "Calculating; showing the previous answer."}
        </p>
        {report === null ? null : (
          <>
            {answer === null ? null : (
              <p className={`next-answer ${breaks ? "outside" : ""}`}>{numbersHeld(answer)}</p>
            )}
            <NoticeList notices={report.notices} />
            {report.answer === null || breaks ? null : (
              <p className="plain-says">{numbersHeld(intervalSays(report, units))}</p>
            )}
            <NoticeList notices={report.cautions.filter(({ level }) => level !== "note")} />
            {chart === null ? null : <FigureView figure={chart} caption />}
            {ask.choose === "motor" ? <MotorTable motors={report.motors} units={units} /> : null}
            {report.limits.length === 0 ? null : (
              <>
                <h3>Limits {report.answer === null ? "as it is set now" : "at this setting"}</h3>
                {report.notices.length > 0 ? null : (
                  <p className="plain-says">{numbersHeld(limitsSay(report, units))}</p>
                )}
                <LimitTable limits={report.limits} units={units} />
              </>
            )}
            <NoticeList notices={report.cautions.filter(({ level }) => level === "note")} />
            <h3>Repeats</h3>
            <RepeatTables groups={report.groups} units={units} />
          </>
        )}
      </div>
    </>
  );
}
