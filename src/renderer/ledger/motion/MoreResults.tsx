import type { UnitSet } from "../../../shared/quantity/display.ts";
import { QUANTITIES } from "../../../shared/results/quantity-table.ts";
import type { Measurement } from "../../../shared/results/shot-result.ts";
import { CopyNumber } from "../../charts/CopyNumber.tsx";
import { quantityText } from "../parts/QuantityTable.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { moreResults, pushLineSays } from "./more-results.ts";

/** All further results of the motion: name, value ± u; the push line in words. */
export function MoreResults({
  measurement,
  units,
}: {
  readonly measurement: Measurement;
  readonly units: UnitSet;
}) {
  const { pushLineOffset } = measurement.quantities;
  return (
    <>
      <h3>More results</h3>
      {pushLineOffset === undefined ? null : (
        <p className="plain-says" title={pushLineOffset.how}>
          {numbersHeld(pushLineSays(pushLineOffset, units))}
        </p>
      )}
      <table className="figures">
        <caption className="for-reader">Further results of the motion</caption>
        <tbody>
          {moreResults(measurement.quantities).map(({ name, quantity }) => (
            <tr key={name} title={quantity.how}>
              <th scope="row" className="cell quiet">
                {QUANTITIES[name].words}
              </th>
              <td className="cell number">
                <CopyNumber
                  of={QUANTITIES[name].words}
                  text={numbersHeld(quantityText(name, quantity, units))}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
