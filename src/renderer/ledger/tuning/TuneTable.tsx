import type { TuneRow } from "../../../shared/tune/tune-words.ts";
import { numbersHeld } from "../parts/sentences.ts";

const ORDINALS = ["second", "third"];

/** Inputs of the launcher as stated beside tuned. */
export function TuneTable({
  caption,
  rows,
}: {
  readonly caption: string;
  readonly rows: readonly TuneRow[];
}) {
  return (
    <table className="figures tuned">
      <caption className="for-reader">{caption}</caption>
      <thead>
        <tr>
          <td />
          <th scope="col" className="cell number quiet">
            stated
          </th>
          <th scope="col" className="cell number quiet">
            tuned
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ path, words, stated, tuned, rivals }) => (
          <tr key={path} data-input={path}>
            <th scope="row" className="cell">
              {words}
            </th>
            <td className="cell number">{numbersHeld(stated)}</td>
            <td className="cell number">
              {numbersHeld(tuned)}
              {rivals.map((other, i) => (
                <div key={ORDINALS[i]} title={`By the ${ORDINALS[i]} answer, which fits about as well.`}>
                  or {numbersHeld(other)}
                </div>
              ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
