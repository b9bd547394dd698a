import type { EntryUnit } from "../inputs/entry-unit.ts";
import type { LauncherKind } from "../inputs/input.ts";
import { modelInput } from "../inputs/model-input.ts";
import type { InputProblem } from "../launch/input-problem.ts";
import { showExact } from "../quantity/display.ts";
import { INPUT_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";

/** No prediction, and why; the launcher's cautions stand all the same. */
export function refusedPrediction(cautions: readonly ShotNotice[], refusal: ShotNotice): ShotPrediction {
  return { prediction: null, notices: [refusal, ...cautions] };
}

/** The refusal of an input that no launch model could work with. */
export function impossibleInput(
  cautions: readonly ShotNotice[],
  kind: LauncherKind,
  { field, value, need }: InputProblem,
): ShotPrediction {
  const { words, unit } = modelInput(kind, field);
  const cause = Number.isNaN(value)
    ? `The model lacks ${words}.`
    : `The model cannot take ${inputSays(value, unit)} for ${words}.`;
  const remedy = `Enter a value that is ${need}.`;
  return refusedPrediction(cautions, INPUT_NOTICES["impossible-input"]({ cause, remedy, about: "model" }));
}

/** As typed. */
function inputSays(value: number, { symbol, factor, offset }: EntryUnit): string {
  if (!Number.isFinite(value)) return "an endless number";
  const typed = showExact(value * factor + offset, "1");
  return symbol === "°" ? `${typed}°` : `${typed} ${symbol}`.trim();
}
