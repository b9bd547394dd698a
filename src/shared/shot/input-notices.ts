import type { Notice } from "../quantity/notice.ts";
import type { InputFault } from "../session/input-faults.ts";

/** Codes of the notices on numbers of the document: one that cannot be, and one that is odd enough to ask about. */
export const IMPOSSIBLE_INPUT = "impossible-input";
export const ODD_INPUT = "odd-input";

/** Notices of faults, those of one kind together: hundreds of marks may be odd in the same way. */
export function inputNotices(faults: readonly InputFault[]): readonly Notice[] {
  const alike = new Map<string, number>();
  for (const one of faults) alike.set(keyOf(one), (alike.get(keyOf(one)) ?? 0) + 1);
  const firsts = faults.filter((one, i) => faults.findIndex((other) => keyOf(other) === keyOf(one)) === i);
  return firsts.map((one): Notice => {
    const { state, heading, cause, remedy } = one;
    const others = (alike.get(keyOf(one)) ?? 1) - 1;
    const more =
      others === 0 ? "" : ` So ${others === 1 ? "is one other" : `are ${others} others`} of the same kind.`;
    return state === "impossible"
      ? { level: "refusal", code: IMPOSSIBLE_INPUT, cause: cause + more, remedy, about: heading }
      : { level: "warning", code: ODD_INPUT, cause: cause + more, remedy, about: heading };
  });
}

function keyOf({ kind, state }: InputFault): string {
  return `${state} ${kind}`;
}

export function isImpossible({ state }: InputFault): boolean {
  return state === "impossible";
}
