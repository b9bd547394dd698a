import { Fragment } from "react";
import type { LimitCheck } from "../../../shared/next-shot/limits.ts";
import type { MotorChoice } from "../../../shared/next-shot/motor-choice.ts";
import {
  limitRow,
  REPEAT_HEADINGS,
  repeatRow,
  repeatSays,
} from "../../../shared/next-shot/next-shot-words.ts";
import { plainNumber } from "../../../shared/next-shot/plain-number.ts";
import type { RepeatGroup } from "../../../shared/next-shot/repeats.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import { Worded } from "../../guide/Worded.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { numbersHeld } from "../parts/sentences.ts";

/** Each limit with what it is held against, and beside the number what to know of it. */
export function LimitTable(props: { readonly limits: readonly LimitCheck[]; readonly units: UnitSet }) {
  const { limits, units } = props;
  return (
    <table className="quantities limits">
      <caption className="for-reader">Limits</caption>
      <tbody>
        {limits.map((check) => {
          const [words, value, limit, state] = limitRow(check, units);
          const bad = check.state === "outside" || check.state === "in-doubt";
          return (
            <Fragment key={check.name}>
              <tr className={check.notice === null ? "" : "noted"} data-limit={check.name}>
                <th scope="row">
                  {words}
                  {check.limit === null ? null : (
                    <span className={bad ? "limit-bad" : undefined}>: {state}</span>
                  )}
                </th>
                <td>{numbersHeld(value)}</td>
                <td>{numbersHeld(limit)}</td>
              </tr>
              {check.notice === null ? null : (
                <tr>
                  <td colSpan={3} className="limit-notice">
                    {check.notice.level === "note" ? (
                      <p className="field-hint">
                        <Worded text={numbersHeld(`${check.notice.cause} ${check.notice.remedy}`)} />
                      </p>
                    ) : (
                      <NoticeList notices={[check.notice]} />
                    )}
                  </td>
                </tr>
              )}
            </Fragment>
          );
        })}
      </tbody>
    </table>
  );
}

/** What each of the launcher's motors would give in every mount. */
export function MotorTable(props: { readonly motors: readonly MotorChoice[]; readonly units: UnitSet }) {
  const { motors, units } = props;
  if (motors.length === 0) return null;
  return (
    <>
      <h3>With one motor in every mount</h3>
      <table className="figures">
        <caption className="for-reader">Release speed with each motor</caption>
        <tbody>
          {motors.map(({ name, speed }) => (
            <tr key={name}>
              <th scope="row" className="cell quiet">
                {name}
              </th>
              <td className="cell number">
                {speed === null ? "does not launch" : numbersHeld(showMeasured(speed, "m/s", units).text)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

const LINES = ["mean", "scatter", "next", "common", "measurement"] as const;

/** How repeatable shots at one setting were, group by group. */
export function RepeatTables(props: { readonly groups: readonly RepeatGroup[]; readonly units: UnitSet }) {
  const { groups, units } = props;
  const single = groups.filter(({ repeatability }) => repeatability === null);
  const repeated = groups.filter(({ repeatability }) => repeatability !== null);
  return (
    <>
      {repeated.length === 0 ? (
        <p className="plain-says">
          No setting was shot twice and measured, so nothing is known of how repeatable shots are. Repeat one
          three times or more.
        </p>
      ) : null}
      {repeated.map((group) => {
        const row = repeatRow(group, units)!;
        return (
          <Fragment key={group.gaugePa ?? "all"}>
            <table className="figures repeats">
              <caption>
                {row.n} shots {group.gaugePa === null ? "as it stands" : `at ${row.setting}`}
              </caption>
              <tbody>
                {LINES.map((line) => (
                  <tr key={line}>
                    <th scope="row" className="cell quiet">
                      <Worded text={REPEAT_HEADINGS[line]} />
                    </th>
                    <td className="cell number">{numbersHeld(row[line])}</td>
                  </tr>
                ))}
              </tbody>
            </table>
            <p className="plain-says">
              <Worded text={numbersHeld(repeatSays(group.repeatability!))} />
            </p>
          </Fragment>
        );
      })}
      {repeated.length === 0 || single.length === 0 ? null : (
        <p className="field-hint">
          Once only:{" "}
          {single
            .map(({ gaugePa }) => (gaugePa === null ? "as it stands" : plainNumber(gaugePa, "Pa", units)))
            .join(", ")}
          .
        </p>
      )}
    </>
  );
}
