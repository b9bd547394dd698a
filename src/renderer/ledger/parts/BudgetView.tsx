import { useMemo } from "react";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { Quantity } from "../../../shared/quantity/measured.ts";
import { QUANTITIES } from "../../../shared/results/quantity-table.ts";
import type { BudgetLine, DrawnResults, Headline } from "../../../shared/results/shot-result.ts";
import { Worded, WordSign } from "../../guide/Worded.tsx";
import { More } from "../fields/More.tsx";
import { budgetAdvice, budgetRows, sharesOf, sharesText, sourceText } from "./budget.ts";
import { DrawnView } from "./DrawnView.tsx";

export interface BudgetViewProps {
  readonly name: Headline;
  readonly quantity: Quantity;
  readonly lines: readonly BudgetLine[];
  readonly units: UnitSet;
  /** What drawing all inputs gave, if they were drawn since the last change. */
  readonly drawn: DrawnResults | undefined;
}

/**
 * Where a result's uncertainty comes from: the bar, what would help most, and folded away the whole table.
 */
export function BudgetView({ name, quantity, lines, units, drawn }: BudgetViewProps) {
  const shares = useMemo(() => sharesOf(lines), [lines]);
  const advice = budgetAdvice(shares);
  if (shares.length === 0) return null;
  const shown = showMeasured(quantity, quantity.unit, units);
  const rows = budgetRows(lines, quantity.unit, units);
  const words = QUANTITIES[name].words.toLowerCase();
  return (
    <div className="budget">
      <p className="budget-title">
        Where the <WordSign sign="±" /> {shown.u} of {words} comes from,{" "}
        <Worded text="in shares of the variance" />
      </p>
      <div className="budget-bar" aria-hidden="true">
        {shares.map(({ source, share }, i) => (
          <span key={source} style={{ flexGrow: share, background: `var(--share-${Math.min(6, i + 1)})` }} />
        ))}
      </div>
      <p className="budget-text">{sharesText(shares)}</p>
      {advice === null ? null : <p className="budget-advice">{advice}</p>}
      <More title="The full budget">
        <table className="figures">
          <caption className="for-reader">Budget of {words}</caption>
          <thead>
            <tr>
              <th scope="col" className="cell quiet">
                source
              </th>
              <th scope="col" className="cell number quiet">
                ± {shown.symbol}
              </th>
              <th scope="col" className="cell number quiet">
                share
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.source}>
                <th scope="row" className="cell">
                  {sourceText(row)}
                </th>
                <td className="cell number">{row.u}</td>
                <td className="cell number">{row.share}</td>
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr className="together">
              <th scope="row" className="cell">
                <Worded text="together, root sum of squares" />
              </th>
              <td className="cell number">{shown.u}</td>
              <td className="cell number">100&nbsp;%</td>
            </tr>
          </tfoot>
        </table>
        <DrawnView units={units} drawn={drawn} />
      </More>
    </div>
  );
}
