import type { CameraPlan, PlannedChange } from "../../shared/camera-plan/camera-plan.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { QUANTITIES } from "../../shared/results/quantity-table.ts";
import { HEADLINES } from "../../shared/results/shot-result.ts";
import { More } from "../ledger/fields/More.tsx";
import { budgetAdvice, sharesOf } from "../ledger/parts/budget.ts";
import { NoticeList } from "../ledger/parts/NoticeList.tsx";
import { numbersHeld } from "../ledger/parts/sentences.ts";
import { changeText, seenSays } from "./plan-words.ts";

export interface PlanFiguresProps {
  readonly plan: CameraPlan;
  readonly units: UnitSet;
  /** The changes have been tried. */
  readonly whole: boolean;
}

/**
 * What the set-up will give: the four results as they would be stated, what is seen, and
 * which change helps most.
 */
export function PlanFigures({ plan, units, whole }: PlanFiguresProps) {
  const { headlines, seen, notices, advice, changes, input } = plan;
  return (
    <>
      {headlines === null ? null : (
        <section className="plan-grid" aria-label="Predicted results">
          {HEADLINES.map((name) => {
            const shown = showMeasured(headlines[name], headlines[name].unit, units);
            const most = budgetAdvice(sharesOf(headlines[name].budget));
            return (
              <div key={name} data-planned={name} title={most ?? undefined}>
                <span className="headline-name">{QUANTITIES[name].words}</span>
                <span className="headline-value">
                  {shown.value} <b>± {shown.u}</b>
                  <span className="headline-unit">
                    {shown.symbol === "°" ? "" : "\u00a0"}
                    {shown.symbol}
                  </span>
                </span>
              </div>
            );
          })}
        </section>
      )}
      {seen === null ? null : <p className="plain-says">{numbersHeld(seenSays(seen, input, units))}</p>}
      <NoticeList notices={notices} />
      {headlines === null ? null : (
        <>
          <h3>What would help most</h3>
          {advice === "" ? null : <p className="plain-says">{numbersHeld(advice)}</p>}
          {whole ? <Changes changes={changes} /> : null}
        </>
      )}
    </>
  );
}

function Changes({ changes }: { readonly changes: readonly PlannedChange[] }) {
  const possible = changes.filter((change) => change.headlines !== null);
  const not = changes.filter((change) => change.headlines === null);
  return (
    <>
      <table className="figures changes">
        <caption className="for-reader">By how much each change reduces each uncertainty</caption>
        <thead>
          <tr>
            <th scope="col" className="cell quiet">
              if you were to
            </th>
            {["speed", "peak", "pitch rate", "angle"].map((words) => (
              <th scope="col" key={words} className="cell number quiet">
                {words}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {possible.map((change) => (
            <tr key={change.id}>
              <th scope="row" className="cell">
                {change.words}
              </th>
              {HEADLINES.map((name) => (
                <td key={name} className="cell number">
                  {changeText(change.headlines?.[name].reduction ?? 0)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      {not.length === 0 ? null : (
        <More title="Not possible here" says={String(not.length)}>
          {not.map((change) => (
            <p className="plain" key={change.id}>
              {change.words}: {change.whyNot}.
            </p>
          ))}
        </More>
      )}
    </>
  );
}
