import { inputAtPath } from "../../../shared/inputs/all-inputs.ts";
import type { Input, LauncherKind } from "../../../shared/inputs/input.ts";
import { judgedWords, judgeInput } from "../../../shared/inputs/judge-input.ts";
import type { UnitSet } from "../../../shared/quantity/display.ts";
import { type Entry, wrong } from "./entry.ts";

/** What a field says of a number outside the ranges of its input. */
export interface InputSays {
  readonly state: "impossible" | "odd";
  /** One sentence, and one that names the likely slip of the unit where there is one. */
  readonly text: string;
}

/**
 * The row of the table that a field is for.
 * @throws RangeError for a path the table does not have: the caller's bug
 */
export function inputOf(path: string, launcher: LauncherKind | null): Input {
  const input = inputAtPath(path, launcher);
  if (input === null) throw new RangeError(`inputOf: no input "${path}" of ${launcher ?? "no launcher"}`);
  return input;
}

/** What is to be said beside a field, whose label names it already; null for a number as usual. */
export function inputSays(input: Input, value: number, u: number | null, set: UnitSet): InputSays | null {
  const judged = judgeInput(input, value, u);
  if (judged === null) return null;
  const { cause, slip } = judgedWords(input, judged, value, u, set, "");
  const text = slip === "" ? cause : `${cause} ${slip}`;
  return { state: judged.state, text: judged.state === "odd" ? `${text} Leave it if it is right.` : text };
}

/**
 * An entry held against the ranges of its input: what cannot be is wrong, what is odd may stand and says so.
 * `numbersOf` gives the value that stands and its u, SI.
 */
export function withinRanges<T>(
  entry: Entry<T>,
  input: Input | null,
  set: UnitSet,
  numbersOf: (stands: T) => readonly [value: number, u: number | null],
): Entry<T> {
  const holds =
    entry.kind === "stands" ? entry.stands : entry.kind === "unfinished" ? entry.assumes : undefined;
  if (holds === undefined || input === null) return entry;
  const says = inputSays(input, ...numbersOf(holds), set);
  if (says === null) return entry;
  if (says.state === "impossible") return wrong(says.text, "Type what was measured.");
  return entry.kind === "stands" ? { ...entry, odd: says.text } : entry;
}
