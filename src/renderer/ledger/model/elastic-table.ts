import { type ForcePoint, tableProblem } from "../../../shared/launch/elastic/elastic-curve.ts";
import { numberOf } from "../fields/entry.ts";

/** What a force-extension table reads as: its points, or what keeps a line of it from standing. */
export type ReadTable =
  | { readonly kind: "points"; readonly points: readonly ForcePoint[] }
  | { readonly kind: "empty" }
  | { readonly kind: "wrong"; readonly cause: string; readonly remedy: string };

const MOST_POINTS = 500;

/**
 * Reads a table typed or pasted as one point a line, extension in m and then force in N, between them a
 * space, tab or semicolon. Empty lines and what follows a # are passed over. A decimal comma is taken where
 * the two numbers stand apart by something else.
 */
export function readElasticTable(text: string): ReadTable {
  const points: ForcePoint[] = [];
  const lineOf: number[] = [];
  for (const [i, line] of text.split(/\r?\n/).entries()) {
    const entry = line.replace(/#.*/, "").trim();
    if (entry === "") continue;
    const parts = entry.split(/\s*;\s*|\s+/);
    // "0.5,14": a comma alone between two numbers parts them; "0,5 14" has decimal commas.
    const pair = parts.length === 1 ? entry.split(",") : parts.map((part) => part.replace(/,$/, ""));
    const [x, f] = pair.map(numberOf);
    if (pair.length !== 2 || x == null || f == null) {
      return wrong(
        `Line ${i + 1}, “${entry}”, is not two numbers.`,
        "Type the extension in m, a space, and the force in N, such as 0.5 14.",
      );
    }
    points.push([x, f]);
    lineOf.push(i + 1);
  }
  if (points.length === 0) return { kind: "empty" };
  if (points.length > MOST_POINTS) {
    return wrong(`The table has ${points.length} points.`, `Keep ${MOST_POINTS} of them at most.`);
  }
  const problem = tableProblem(points);
  if (problem === null) return { kind: "points", points };
  const line = lineOf[problem.point];
  if (line === undefined) return wrong("There is only one point.", "Type two points or more.");
  return wrong(`Line ${line}: the ${problem.of} is ${problem.value}.`, `It must be ${problem.need}.`);
}

/** A table as text, one point a line. */
export function elasticTableText(points: readonly ForcePoint[] | null): string {
  return (points ?? []).map(([x, f]) => `${x} ${f}`).join("\n");
}

function wrong(cause: string, remedy: string): ReadTable {
  return { kind: "wrong", cause, remedy };
}
