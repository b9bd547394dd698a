import { inputAtPath, tablePath } from "../../shared/inputs/all-inputs.ts";
import { wordsAt } from "../../shared/inputs/judge-input.ts";
import type { Session } from "../../shared/session/schema.ts";

const MOST = 3; // values: an edit of more of them is no typed value but a pick, a load or a replacement

/**
 * What a person would call the one thing that an edit changed; null where it changed none,
 * or several, or no value.
 */
export function changedInput(before: Session, after: Session): string | null {
  const paths: (readonly string[])[] = [];
  differences(before, after, [], paths);
  if (paths.length === 0 || paths.length > MOST) return null;
  const names = [...new Set(paths.map((path) => nameOf(path, after)))];
  return names.length === 1 ? (names[0] ?? null) : null;
}

/** Paths at which two documents differ; no more than are worth a word. */
function differences(a: unknown, b: unknown, path: readonly string[], into: (readonly string[])[]): void {
  if (a === b || into.length > MOST) return;
  if (!isObject(a) || !isObject(b)) {
    into.push(path);
    return;
  }
  for (const key of new Set([...Object.keys(a), ...Object.keys(b)]))
    differences(a[key], b[key], [...path, key], into);
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return value !== null && typeof value === "object";
}

/** The table speaks of one airframe and one launcher; a document lists them. */
const ONE_OF: Readonly<Record<string, string>> = { airframes: "airframe", launchers: "launcher" };

/** Value and u of one thing have one name: that of its row in the table. */
function nameOf(path: readonly string[], session: Session): string | null {
  const steps = ["value", "u"].includes(path.at(-1) ?? "") ? path.slice(0, -1) : path;
  const listed = steps.map((step) => (/^\d+$/.test(step) ? Number(step) : step));
  const kind = listed[0] === "launchers" ? (session.launchers[Number(listed[1])]?.kind ?? null) : null;
  const one = ONE_OF[String(listed[0])];
  const places = one === undefined ? listed : [one, ...listed.slice(2)];
  const input = inputAtPath(tablePath(places, kind) ?? "", kind);
  if (input === null || steps.includes("marks")) return null;
  const words = wordsAt(input, places);
  const shot = steps[0] === "shots" ? session.shots[Number(steps[1])] : undefined;
  return shot === undefined ? words : `${words} of ${shot.name}`;
}
