import { type Mutation, type Path, pathText, placeAfter } from "./mutations.ts";
import type { TrialOutcome } from "./trial.ts";

const MOST_STEP_MS = 5000; // of processor time, for each thing a person waits for

/** Whether something took longer than a person waits. */
export function isSlow({ steps }: TrialOutcome): boolean {
  return steps.some(({ ms }) => ms > MOST_STEP_MS);
}

/** Why an outcome must not be; null when it may. @param before the document that was mutated */
export function failureOf(
  before: unknown,
  mutations: readonly Mutation[],
  { steps, refusal }: TrialOutcome,
): string | null {
  const bad = steps.find(({ problem }) => problem !== null);
  if (bad !== undefined) return `${bad.step}: ${bad.problem}`;
  const slow = steps.find(({ ms }) => ms > MOST_STEP_MS);
  if (slow !== undefined) return `${slow.step}: took ${(slow.ms / 1000).toFixed(1)} s`;
  const isNamed = (one: Mutation, i: number) =>
    namesField(refusal ?? "", placeAfter(one.path, mutations.slice(i + 1)), one.path, before);
  if (refusal === null || mutations.some(isNamed)) return null;
  return `refused without naming the field: ${refusal}`;
}

/**
 * Whether a refusal names the changed field, or what it is in (down to the second step of its path).
 * @param was its path before it and other fields were changed
 */
function namesField(refusal: string, path: Path, was: Path, before: unknown): boolean {
  if (namesLost(refusal, was, before)) return true;
  if (path.length < 2) return refusal.includes(String(path[0])) || /format|version/.test(String(path[0]));
  return path.some((_, i) => i > 0 && refusal.includes(pathText(path.slice(0, i + 1))));
}

const REFERRED_TO: Readonly<Record<string, string>> = {
  points: "point",
  cameras: "camera",
  airframes: "airframe",
  launchers: "launcher",
};

/** Whether it names something that refers to an entry which the change took away or renamed. */
function namesLost(refusal: string, [list, index]: Path, before: unknown): boolean {
  const what = REFERRED_TO[String(list)];
  if (what === undefined) return false;
  const entries =
    (before as Readonly<Record<string, readonly { readonly id: string }[]>>)[String(list)] ?? [];
  const lost = typeof index === "number" ? entries.slice(index, index + 1) : entries;
  return lost.some(({ id }) => refusal.includes(`: no ${what} "${id}"`));
}
