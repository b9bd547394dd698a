import { type Mutation, pathText } from "./mutations.ts";
import type { TrialOutcome } from "./trial.ts";

const MOST_STEP_MS = 5000; // of processor time, for each thing a person waits for

/** Whether something took longer than a person waits. */
export function isSlow({ steps }: TrialOutcome): boolean {
  return steps.some(({ ms }) => ms > MOST_STEP_MS);
}

/** Why an outcome must not be; null when it may. */
export function failureOf(mutations: readonly Mutation[], { steps, refusal }: TrialOutcome): string | null {
  const bad = steps.find(({ problem }) => problem !== null);
  if (bad !== undefined) return `${bad.step}: ${bad.problem}`;
  const slow = steps.find(({ ms }) => ms > MOST_STEP_MS);
  if (slow !== undefined) return `${slow.step}: took ${(slow.ms / 1000).toFixed(1)} s`;
  if (refusal === null || mutations.some(({ path }) => namesField(refusal, path))) return null;
  return `refused without naming the field: ${refusal}`;
}

/** Whether a refusal names the changed field, or what it is in (down to the second step of its path). */
function namesField(refusal: string, path: readonly (string | number)[]): boolean {
  if (path.length < 2) return refusal.includes(String(path[0])) || /format|version/.test(String(path[0]));
  // What refers to an entry that was taken away or renamed is named in its place.
  if (/: no (point|camera) "/.test(refusal)) return true;
  return path.some((_, i) => i > 0 && refusal.includes(pathText(path.slice(0, i + 1))));
}
