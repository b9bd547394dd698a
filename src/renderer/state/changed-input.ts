import type { Session } from "../../shared/session/schema.ts";
import { parameterWords } from "../../shared/tune/parameter-words.ts";

const MOST = 3; // values: an edit of more of them is no typed value but a pick, a load or a replacement

/** What a person would call the one thing that an edit changed; null where it changed none, or several, or no value. */
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

/** Value and u of one thing have one name. */
function nameOf(path: readonly string[], session: Session): string | null {
  const steps = ["value", "u"].includes(path.at(-1) ?? "") ? path.slice(0, -1) : path;
  const [room, ...rest] = steps;
  if (room === "shots") {
    const [index, ...within] = rest;
    const shot = session.shots[Number(index)];
    if (shot === undefined || within.length === 0 || within.includes("marks")) return null;
    return `the ${plain(within.at(-1)!)} of ${shot.name}`;
  }
  if (room === "launcher" && rest.length > 0) {
    const path = rest.join(".");
    const { words } = parameterWords(path);
    return `the launcher's ${words === path ? plain(rest.at(-1)!) : words}`;
  }
  if (room === "airframe" && rest.length > 0) return `the airframe's ${plain(rest.at(-1)!)}`;
  if (room === "cameras" && rest.length > 1) return `the camera's ${plain(rest.at(-1)!)}`;
  return null;
}

/** "captureRateHz" as "capture rate": the words of a name, without its unit. */
function plain(name: string): string {
  return name
    .replace(/(MPerS2|MPerS|NsPerM|KgM2|Px|Pa|Kg|Rad|Hz|Ns|M2|M3|[MNKSG])$/, "")
    .replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
    .trim();
}
