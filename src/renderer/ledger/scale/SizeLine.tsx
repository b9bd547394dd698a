import { sizeSays } from "../../../shared/measure/size-check.ts";
import { useAppState } from "../../actions/app-context.ts";
import { resultOf, sessionOf } from "../../app-state/app-state.ts";
import { numbersHeld } from "../parts/sentences.ts";

/** The taped distance on the airframe beside what the scale makes of it, where there is one. */
export function SizeLine() {
  const check = useAppState(resultOf)?.measurement?.sizeCheck;
  const { points, units } = useAppState(sessionOf);
  if (check === undefined) return null;
  return <p className="plain-says">{numbersHeld(`By this scale, ${sizeSays(check, points, units)}.`)}</p>;
}
