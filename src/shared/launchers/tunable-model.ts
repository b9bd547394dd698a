import type { Fault } from "../quantity/notice.ts";
import type { UncertainInput } from "../uncertainty/propagate.ts";

/** An input of a launch model, and which shots it is the same number for. */
export interface TunableInput extends UncertainInput {
  /**
   * "launcher": one number for all shots; "own": read for each shot, with an error of its own; "reading": of
   * the day, the same error for the shots that state the same reading; "form": physics that nobody stated and
   * the launcher may have all the same, its value none of it and its u how much is not unusual.
   */
  readonly of: "launcher" | "own" | "reading" | "form";
  /** Whether `predict` takes values beyond the limits too, which no launcher is stated with. */
  readonly goesOn?: boolean;
}

/**
 * Whether an input was stated at a limit of the model: none of something, with what there may be of it all
 * the same. Every form is.
 */
export function isAtLimit({ of, value, low = -Infinity, high = Infinity }: TunableInput): boolean {
  return of === "form" || (of === "launcher" && (value <= low || value >= high));
}

/** A predicted push on the model's own clock, and what the flight begins with. */
export interface ModelCurve {
  /** s, end of the push. */
  readonly exitS: number;
  readonly exitTravelM: number;
  readonly exitSpeedMPerS: number;
  /** m/s², what gravity takes along the launch direction in flight. */
  readonly slowingMPerS2: number;
  /** m and m/s at a time up to exitS; at rest before the start. */
  at(timeS: number): { readonly travelM: number; readonly speedMPerS: number };
}

/** A launch model of one shot as the tuning sees it, whatever the launcher's kind. */
export interface TunableModel {
  readonly inputs: readonly TunableInput[];
  /** @param values in the order of `inputs` @returns null where the model gives no launch */
  predict(values: readonly number[]): ModelCurve | null;
}

/** The launch model of one shot with the launcher as stated, or why there is none. */
export type TunableOfShot =
  | { readonly ok: true; readonly model: TunableModel }
  | { readonly ok: false; readonly fault: Fault };
