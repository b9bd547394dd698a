import type { TuneRow } from "../../../shared/tune/tune-words.ts";
import { numbersHeld } from "../parts/sentences.ts";

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
        {rows.map(({ path, words, stated, tuned }) => (
          <tr key={path} data-input={path}>
            <th scope="row" className="cell">
              {words}
            </th>
            <td className="cell number">{numbersHeld(stated)}</td>
            <td className="cell number">{numbersHeld(tuned)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
