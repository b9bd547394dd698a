import { AFTER_RELEASE } from "../../../shared/predict/after-release.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { Quantity } from "../../../shared/quantity/measured.ts";
import { isComparable, QUANTITIES, QUANTITY_NAMES } from "../../../shared/results/quantity-table.ts";
import { HEADLINES, type QuantityName, type ShotResult } from "../../../shared/results/shot-result.ts";
import { CopyNumber } from "../../charts/CopyNumber.tsx";
import { milliseconds } from "./sentences.ts";

const SIGNED: ReadonlySet<QuantityName> = new Set([
  "pitchRateAtRelease",
  "pitchAtRelease",
  "attitudeToPath",
  "meanPitchAcceleration",
  "heightAfterOneSecond",
  "pitchAfterOneSecond",
  "sideDrift",
  "windDrift",
]);

/** Read under Verdict though no model predicts them. */
const JUDGED: ReadonlySet<QuantityName> = new Set([...HEADLINES, "stallSpeed", "stallMargin", "loadFactor"]);

/**
 * Measured beside predicted, and what the airframe is judged by; what is only measured stands under Motion.
 */
export function QuantityTable(props: {
  readonly result: ShotResult;
  readonly units: UnitSet;
  /** These, measured or predicted, and no others; left out, all but flight after release. */
  readonly only?: readonly QuantityName[];
}) {
  const { result, units, only } = props;
  const measured = result.measurement?.quantities ?? {};
  const predicted = result.prediction?.quantities ?? {};
  const names = QUANTITY_NAMES.filter(
    (name) =>
      isComparable(name) &&
      (only?.includes(name) ?? !AFTER_RELEASE.includes(name)) &&
      (predicted[name] !== undefined ||
        (measured[name] !== undefined && (only !== undefined || JUDGED.has(name)))),
  );
  if (names.length === 0) return null;
  const isPredicted = names.some((name) => predicted[name] !== undefined);
  return (
    <table className="quantities">
      <thead>
        <tr>
          <th scope="col">
            <span className="for-reader">Result</span>
          </th>
          <th scope="col" className="measured">
            measured
          </th>
          <th scope="col" className="predicted">
            {isPredicted ? "predicted" : null}
          </th>
        </tr>
      </thead>
      <tbody>
        {names.map((name) => (
          <tr key={name}>
            <th scope="row">{QUANTITIES[name].words}</th>
            <td title={measured[name]?.how}>
              <CopyNumber
                of={`${QUANTITIES[name].words}, measured`}
                text={quantityText(name, measured[name], units)}
              />
            </td>
            <td title={predicted[name]?.how}>
              <CopyNumber
                of={`${QUANTITIES[name].words}, predicted`}
                text={quantityText(name, predicted[name], units)}
              />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** In s; the other times of a launch are read in ms. */
const LONG: ReadonlySet<QuantityName> = new Set(["fillTime", "burnoutTime", "timeToGround"]);

/** A result in words. */
export function quantityText(name: QuantityName, quantity: Quantity | undefined, units: UnitSet): string {
  if (quantity === undefined) return "";
  if (quantity.unit === "s" && !LONG.has(name)) return milliseconds(quantity);
  return showMeasured(quantity, quantity.unit, units, SIGNED.has(name)).text;
}
