import { useMemo, useState } from "react";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { QUANTITIES } from "../../shared/shot/quantity-table.ts";
import { HEADLINES, type Headline, type ShotResult } from "../../shared/shot/shot-result.ts";
import { useDeskState } from "../state/desk-context.ts";
import { budgetAdvice, sharesOf, sharesText } from "./budget.ts";
import { firstObstacle } from "./notices.ts";

export interface HeadlinesProps {
  readonly result: ShotResult | null;
  readonly units: UnitSet;
  /** what to do next while nothing is measured and no notice says it better */
  readonly next: string;
}

/** The four results a person reads first, each with its standard uncertainty, and where that comes from. */
export function Headlines({ result, units, next }: HeadlinesProps) {
  const [asked, setAsked] = useState<Headline>("releaseSpeed");
  const measuring = useDeskState((s) => s.measuring);
  const measurement = result?.measurement ?? null;
  const predicted = result?.prediction?.quantities ?? {};
  const obstacle = result === null ? null : firstObstacle(result.notices);
  const shares = useMemo(() => sharesOf(measurement?.budget[asked] ?? []), [measurement, asked]);
  const advice = budgetAdvice(shares);
  const askedQuantity = measurement?.quantities[asked];
  return (
    <>
      <section className="headline-grid" aria-label="Headline results" aria-busy={measuring}>
        {HEADLINES.map((name) => {
          const quantity = measurement?.quantities[name];
          const signed = name === "pitchRateAtRelease";
          const shown = quantity === undefined ? null : showMeasured(quantity, quantity.unit, units, signed);
          const model = predicted[name];
          return (
            <button
              type="button"
              key={name}
              className="headline"
              data-headline={name}
              aria-pressed={asked === name}
              onClick={() => setAsked(name)}
            >
              <span className="headline-name">{QUANTITIES[name].words}</span>
              <span className="headline-value">
                {shown === null ? (
                  <span className="none">—</span>
                ) : (
                  <>
                    <b>{shown.value}</b> <span className="headline-u">± {shown.u}</span>
                    <span className="headline-unit">
                      {shown.symbol === "°" ? "" : "\u00a0"}
                      {shown.symbol}
                    </span>
                  </>
                )}
              </span>
              <span className="headline-model" hidden={measurement === null && model === undefined}>
                {model === undefined
                  ? "\u00a0"
                  : `predicted ${showMeasured(model, model.unit, units, signed).text}`}
              </span>
            </button>
          );
        })}
      </section>
      {measurement === null ? (
        <p className="headline-next">{obstacle === null ? next : `${obstacle.cause} ${obstacle.remedy}`}</p>
      ) : shares.length > 0 && askedQuantity !== undefined ? (
        <div className="budget">
          <p className="budget-title">
            Where the ± {showMeasured(askedQuantity, askedQuantity.unit, units).u} of{" "}
            {QUANTITIES[asked].words.toLowerCase()} comes from
          </p>
          <div className="budget-bar" aria-hidden="true">
            {shares.map(({ source, share }, i) => (
              <span
                key={source}
                style={{ flexGrow: share, background: `var(--share-${Math.min(6, i + 1)})` }}
              />
            ))}
          </div>
          <p className="budget-text">{sharesText(shares)}</p>
          {advice === null ? null : <p className="budget-advice">{advice}</p>}
        </div>
      ) : null}
    </>
  );
}
