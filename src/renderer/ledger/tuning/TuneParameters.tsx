import type { LauncherKind } from "../../../shared/inputs/input.ts";
import { showParameter } from "../../../shared/tune/parameter-words.ts";
import type { TunableParameter } from "../../../shared/tune/tunable-parameters.ts";
import { numbersHeld } from "../parts/sentences.ts";

const MOST = 12; // as the document says

/** The launcher's uncertain inputs with what was stated of each, to be ticked. */
export function TuneParameters(props: {
  readonly kind: LauncherKind;
  readonly able: readonly TunableParameter[];
  readonly chosen: readonly string[];
  readonly onChoose: (paths: readonly string[]) => void;
}) {
  const { kind, able, chosen, onChoose } = props;
  if (able.length === 0) {
    return <p className="field-hint">Every input is stated as exact. Give those you doubt an uncertainty.</p>;
  }
  return (
    <>
      <div className="tune-inputs">
        {able.map(({ path, words, stated }) => (
          <label key={path} className="switch">
            <input
              type="checkbox"
              checked={chosen.includes(path)}
              disabled={!chosen.includes(path) && chosen.length >= MOST}
              onChange={(event) =>
                onChoose(event.target.checked ? [...chosen, path] : chosen.filter((one) => one !== path))
              }
            />
            <span>{words}</span>
            <span className="tune-stated">{numbersHeld(showParameter(kind, path, stated))}</span>
          </label>
        ))}
      </div>
      <p className="field-hint">
        Tick what no tape or scale measures well. The others may still move within their stated uncertainty
        where the shots call for it.
      </p>
    </>
  );
}
