import { numberOf } from "../fields/entry.ts";

type TablePoint = readonly [number, number];

/** What a table of points reads as: its points, or what keeps a line of it from standing. */
export type ReadTable =
  | { readonly kind: "points"; readonly points: readonly TablePoint[] }
  | { readonly kind: "empty" }
  | { readonly kind: "wrong"; readonly cause: string; readonly remedy: string };

/** A kind of table of two columns. */
export interface PointTable {
  /** What to type on a line, such as "the extension in m, a space, and the force in N, such as 0.5 14". */
  readonly line: string;
  readonly mostPoints: number;
  /** The first fault of points that are two numbers each; a point that is not there where one is missing. */
  readonly problemOf: (points: readonly TablePoint[]) => {
    readonly point: number;
    readonly of: string;
    readonly value: number;
    readonly need: string;
  } | null;
}

/**
 * Reads a table typed or pasted as one point a line, between its two numbers a space, tab or semicolon. Empty
 * lines and what follows a # are passed over. A decimal comma is taken where the two numbers stand apart by
 * something else.
 */
export function readPointTable({ line, mostPoints, problemOf }: PointTable, text: string): ReadTable {
  const points: TablePoint[] = [];
  const lineOf: number[] = [];
  for (const [i, typed] of text.split(/\r?\n/).entries()) {
    const entry = typed.replace(/#.*/, "").trim();
    if (entry === "") continue;
    const parts = entry.split(/\s*;\s*|\s+/);
    // "0.5,14": a comma alone between two numbers parts them; "0,5 14" has decimal commas.
    const pair = parts.length === 1 ? entry.split(",") : parts.map((part) => part.replace(/,$/, ""));
    const [x, y] = pair.map(numberOf);
    if (pair.length !== 2 || x == null || y == null) {
      return wrong(`Line ${i + 1}, “${entry}”, is not two numbers.`, `Type ${line}.`);
    }
    points.push([x, y]);
    lineOf.push(i + 1);
  }
  if (points.length === 0) return { kind: "empty" };
  if (points.length > mostPoints) {
    return wrong(`The table has ${points.length} points.`, `Keep ${mostPoints} of them at most.`);
  }
  const problem = problemOf(points);
  if (problem === null) return { kind: "points", points };
  const at = lineOf[problem.point];
  if (at === undefined) return wrong("There is only one point.", "Type two points or more.");
  return wrong(`Line ${at}: the ${problem.of} is ${problem.value}.`, `It must be ${problem.need}.`);
}

/** A table as text, one point a line. */
export function pointTableText(points: readonly TablePoint[] | null): string {
  return (points ?? []).map(([x, y]) => `${x} ${y}`).join("\n");
}

function wrong(cause: string, remedy: string): ReadTable {
  return { kind: "wrong", cause, remedy };
}
