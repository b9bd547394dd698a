import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import { QUANTITIES } from "../../../shared/results/quantity-table.ts";
import { type DrawnResults, HEADLINES, type Headline } from "../../../shared/results/shot-result.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { DRAWS, drawKey } from "../../actions/draw-inputs.ts";
import { Worded } from "../../guide/Worded.tsx";
import { drawnSays } from "./drawn-words.ts";

const SHORT: Readonly<Record<Headline, string>> = {
  releaseSpeed: "speed",
  peakAcceleration: "peak",
  pitchRateAtRelease: "pitch rate",
  launchAngle: "angle",
};

export interface DrawnViewProps {
  readonly units: UnitSet;
  readonly drawn: DrawnResults | undefined;
}

/**
 * Whether the stated uncertainties hold when all inputs are drawn together: the button
 * that asks, and the outcome.
 */
export function DrawnView({ units, drawn }: DrawnViewProps) {
  const actions = useActions();
  const running = useAppState((s) =>
    s.jobs.some((job) => s.shotId !== null && job.key === drawKey(s.shotId)),
  );
  return (
    <div className="drawn">
      {drawn === undefined ? (
        <>
          <p className="plain">
            These come from moving one input at a time. Drawing all of them together, at random, {DRAWS}{" "}
            times, shows whether that holds.
          </p>
          <p className="plain">
            <button type="button" disabled={running} onClick={() => void actions.drawInputs()}>
              {running ? "Drawing" : "Draw all inputs"}
            </button>
          </p>
        </>
      ) : (
        <>
          <p className="plain-says" role="status">
            <Worded text={drawnSays(drawn)} />
          </p>
          <table className="figures">
            <caption className="for-reader">
              Each result by one input at a time and by all drawn together
            </caption>
            <thead>
              <tr>
                <th scope="col" className="cell quiet">
                  result
                </th>
                <th scope="col" className="cell number quiet">
                  one at a time
                </th>
                <th scope="col" className="cell number quiet">
                  all drawn
                </th>
              </tr>
            </thead>
            <tbody>
              {HEADLINES.map((name) => {
                const one = drawn.headlines[name];
                if (one === undefined) return null;
                const { unit } = QUANTITIES[name];
                const [apart, together] = [one.apart, one.together].map((of) =>
                  showMeasured(of, unit, units),
                );
                return (
                  <tr key={name} data-agree={one.agree}>
                    <th scope="row" className="cell">
                      {SHORT[name]}
                    </th>
                    <td className="cell number">{apart?.text}</td>
                    <td className="cell number">{together?.text}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </>
      )}
    </div>
  );
}
