import type { Notice } from "../quantity/notice.ts";
import type { InputFault } from "../session/input-faults.ts";
import { wordPath } from "../session/word-issue.ts";
import { INPUT_NOTICES } from "./notices/model-notices.ts";

/** Notices of faults, those of one kind together: hundreds of marks may be odd in the same way. */
export function inputNotices(
  faults: readonly InputFault[],
): readonly Notice<"impossible-input" | "odd-input">[] {
  const alike = new Map<string, number>();
  for (const one of faults) alike.set(keyOf(one), (alike.get(keyOf(one)) ?? 0) + 1);
  const firsts = faults.filter((one, i) => faults.findIndex((other) => keyOf(other) === keyOf(one)) === i);
  return firsts.map((one) => {
    const { heading, cause, remedy, path } = one;
    const others = (alike.get(keyOf(one)) ?? 1) - 1;
    const more =
      others === 0 ? "" : ` So ${others === 1 ? "is one other" : `are ${others} others`} of the same kind.`;
    const input = { cause: cause + more, remedy, about: heading, path: wordPath(path) };
    return isImpossible(one) ? INPUT_NOTICES["impossible-input"](input) : INPUT_NOTICES["odd-input"](input);
  });
}

function keyOf({ kind, state }: InputFault): string {
  return `${state} ${kind}`;
}

export function isImpossible({ state }: InputFault): boolean {
  return state === "impossible";
}
