import { showExact } from "../quantity/display.ts";
import { INPUT_NOTICES } from "./notices/model-notices.ts";
import type { ShotNotice } from "./notices/shot-notices.ts";
import type { ShotPrediction } from "./shot-result.ts";

/** No prediction, and why; the launcher's cautions stand all the same. */
export function refusedPrediction(cautions: readonly ShotNotice[], refusal: ShotNotice): ShotPrediction {
  return { prediction: null, notices: [refusal, ...cautions] };
}

/** An input that a launch model cannot take. */
export interface ImpossibleInput {
  /** What a person calls it, with its article: "the bore". */
  readonly words: string;
  /** In SI; NaN where it is missing. */
  readonly value: number;
  /** Symbol of the SI unit; "" for none. */
  readonly unit: string;
  /** What would do: "above 0". */
  readonly need: string;
}

/** The refusal of an input that no launch model could work with. */
export function impossibleInput(
  cautions: readonly ShotNotice[],
  { words, value, unit, need }: ImpossibleInput,
): ShotPrediction {
  const cause = Number.isNaN(value)
    ? `The model lacks ${words}.`
    : `The model cannot take ${inputSays(value, unit)} for ${words}.`;
  const remedy = `Enter a value that is ${need}.`;
  return refusedPrediction(cautions, INPUT_NOTICES["impossible-input"]({ cause, remedy, about: "model" }));
}

/** In SI as the document holds it, but for angles, whose limits are told in degrees. */
function inputSays(value: number, unit: string): string {
  if (!Number.isFinite(value)) return "an endless number";
  return unit === "rad" ? showExact(value, "rad") : `${showExact(value, "1")} ${unit}`.trim();
}
