import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { QUANTITIES } from "../../shared/results/quantity-table.ts";
import { HEADLINES, type Headline, type ShotResult } from "../../shared/results/shot-result.ts";
import { useAppState } from "../actions/app-context.ts";
import { offeredSetUp } from "../app-state/offered-set-up.ts";
import { BudgetView } from "./parts/BudgetView.tsx";
import { firstObstacle } from "./parts/notices.ts";

export interface HeadlinesProps {
  readonly result: ShotResult | null;
  readonly units: UnitSet;
  /** what to do next while nothing is measured and no notice says it better */
  readonly next: string;
  /** the result whose budget stands below, here and beside the headings */
  readonly asked: Headline;
  readonly onAsk: (name: Headline) => void;
}

/** The four results a person reads first, each with its standard uncertainty, and where that comes from. */
export function Headlines({ result, units, next, asked, onAsk }: HeadlinesProps) {
  const measuring = useAppState((s) => s.measuring);
  const looking = useAppState((s) => s.looking);
  // The set-up of a former shot, offered below, is what comes next: nothing is to be put right before it.
  const isOffered = useAppState((s) => offeredSetUp(s) !== null);
  const measurement = result?.measurement ?? null;
  const predicted = result?.prediction?.quantities ?? {};
  const obstacle = result === null ? null : firstObstacle(result.notices);
  const askedQuantity = measurement?.quantities[asked];
  return (
    <>
      <section
        className="headline-grid"
        aria-label="Headline results"
        aria-busy={measuring !== "settled"}
        data-measuring={measuring === "settled" && looking ? "refining" : measuring}
      >
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
              onClick={() => onAsk(name)}
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
      {measurement === null && isOffered ? null : measurement === null ? (
        <p className="headline-next">{obstacle === null ? next : `${obstacle.cause} ${obstacle.remedy}`}</p>
      ) : askedQuantity === undefined ? null : (
        <BudgetView
          key={asked}
          name={asked}
          quantity={askedQuantity}
          lines={measurement.budget[asked] ?? []}
          units={units}
          drawn={measurement.drawn}
        />
      )}
    </>
  );
}
