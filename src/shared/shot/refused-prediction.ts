import type { EntryUnit } from "../inputs/entry-unit.ts";
import type { LauncherKind } from "../inputs/input.ts";
import { modelInput } from "../inputs/model-input.ts";
import type { InputProblem } from "../launch/input-problem.ts";
import { showExact } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import type { ShotPrediction } from "./shot-result.ts";

/** No prediction, and why; the launcher's cautions stand all the same. */
export function refusedPrediction(
  cautions: readonly Notice[],
  code: string,
  cause: string,
  remedy: string,
): ShotPrediction {
  return { prediction: null, notices: [{ level: "refusal", code, cause, remedy }, ...cautions] };
}

/** The refusal of an input that no launch model could work with. */
export function impossibleInput(
  cautions: readonly Notice[],
  kind: LauncherKind,
  { field, value, need }: InputProblem,
): ShotPrediction {
  const { words, unit } = modelInput(kind, field);
  const cause = Number.isNaN(value)
    ? `The model lacks ${words}.`
    : `The model cannot take ${inputSays(value, unit)} for ${words}.`;
  return refusedPrediction(cautions, "impossible-input", cause, `Enter a value that is ${need}.`);
}

/** As it is typed in. */
function inputSays(value: number, { symbol, factor, offset }: EntryUnit): string {
  if (!Number.isFinite(value)) return "an endless number";
  const typed = showExact(value * factor + offset, "1");
  return symbol === "°" ? `${typed}°` : `${typed} ${symbol}`.trim();
}
