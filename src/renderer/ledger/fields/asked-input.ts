import type { EntryKind } from "../../../shared/inputs/entry-unit.ts";
import type { Input, LauncherKind } from "../../../shared/inputs/input.ts";
import type { EntryRule } from "./entry.ts";
import { inputOf } from "./input-says.ts";

/** What a field asks for: a row of the table of inputs, or a number that no document holds. */
export type Asked =
  | {
      /** Place of the number in the table, which then says the rest. */
      readonly path: string;
      /** Where the table's label says more or less than is needed here. */
      readonly label?: string | undefined;
    }
  | {
      readonly path?: undefined;
      readonly label: string;
      readonly kind: EntryKind;
      /** Above zero when left out. */
      readonly rule?: EntryRule | undefined;
    };

export interface AskedInput {
  readonly label: string;
  readonly kind: EntryKind;
  readonly rule: EntryRule;
  /** Whose ranges hold here; null for a number that no document holds. */
  readonly input: Input | null;
}

/** What a field asks for, in full. @throws RangeError for a path the table does not have: the caller's bug */
export function askedInput(asked: Asked, launcher: LauncherKind | null): AskedInput {
  if (asked.path === undefined) {
    const { label, kind, rule = "positive" } = asked;
    return { label, kind, rule, input: null };
  }
  const input = inputOf(asked.path, launcher);
  return { label: asked.label ?? input.label, kind: input.kind, rule: ruleOf(input), input };
}

function ruleOf({ possible: [least] }: Input): EntryRule {
  if (least > 0) return "positive";
  return least === 0 ? "not-negative" : "any";
}
