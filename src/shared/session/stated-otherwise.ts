import { inputAtPath, tablePath } from "../inputs/all-inputs.ts";
import { wordsAt } from "../inputs/judge-input.ts";
import type { Launcher } from "./schema.ts";

type Path = readonly (string | number)[];
/** What a launcher is called, or rated for, has no part in how it pushes. */
const NO_PART = new Set([
  ...["id", "name", "tankMaterial", "tankRatingPa", "ratingShare", "reliefPa", "endStop", "baseRatedLoadN"],
  ...["fill", "anchorRatedLoadN", "stretchLimit", "lineRatedLoadN"],
]);
// standard uncertainties of the difference; two statements of one thing are as far apart once in 370
const FAR = 3;

/**
 * What two statements of a launcher say otherwise than two measurements of one launcher would: numbers
 * farther apart than 3 standard uncertainties of their difference, other choices, parts that one of them
 * lacks. In words with an article ("the stroke"); empty where both may be the same launcher.
 */
export function statedOtherwise(there: Launcher, here: Launcher): readonly string[] {
  if (there.kind !== here.kind) return ["the kind of launcher"];
  const found = new Set<string>();
  compare(there, here, ["launcher"], (path) => {
    const input = inputAtPath(tablePath(path, here.kind) ?? "", here.kind);
    found.add(input === null ? path.slice(1).join(".") : wordsAt(input, path));
  });
  return [...found];
}

function compare(a: unknown, b: unknown, path: Path, tell: (path: Path) => void): void {
  if (isMeasured(a) && isMeasured(b)) {
    if (Math.abs(a.value - b.value) > FAR * Math.hypot(a.u, b.u)) tell(path);
  } else if (isParts(a) && isParts(b)) {
    for (const key of new Set([...Object.keys(a), ...Object.keys(b)])) {
      if (NO_PART.has(key)) continue;
      compare(a[key], b[key], [...path, /^\d+$/.test(key) ? Number(key) : key], tell);
    }
  } else if ((a ?? null) !== (b ?? null)) tell(path);
}

function isMeasured(one: unknown): one is { readonly value: number; readonly u: number } {
  return isParts(one) && typeof one.value === "number" && typeof one.u === "number";
}

function isParts(one: unknown): one is Readonly<Record<string, unknown>> {
  return typeof one === "object" && one !== null;
}
