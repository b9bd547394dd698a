import type { BudgetLine } from "../results/shot-result.ts";
import type { Shot } from "../session/schema.ts";

/**
 * The part of a release speed's uncertainty that is a shot's own, as tuning takes it: what was marked or
 * clicked for this shot, and where its flight lay. Numbers that another shot holds too are one measurement
 * used twice and go with that shot: a rod's length, picks that were carried over.
 * @param lines of the speed's budget
 * @returns m/s
 */
export function ownMeasuring(
  shot: Shot,
  shots: readonly Shot[],
  lines: readonly BudgetLine[],
  speedMPerS: number,
): number {
  const others = shots.filter(({ id }) => id !== shot.id);
  const isOwn = (part: (one: Shot) => unknown) => !others.some((other) => same(part(other), part(shot)));
  const own = lines.map(({ source, u }) => {
    switch (source) {
      case "marks":
      case "release":
        return u;
      case "scale":
        if (!isOwn(rodPicks)) return 0;
        return isOwn(rodLengths) ? u : Math.sqrt(Math.max(0, u ** 2 - (speedMPerS * lengthU(shot)) ** 2));
      case "plumb":
        return isOwn(({ plumb, level }) => [plumb, level]) ? u : 0;
      case "plane":
        return shot.setting === undefined && shot.control === undefined ? u : 0;
      default:
        return 0;
    }
  });
  return Math.hypot(...own);
}

function rodsOf({ scale, rods }: Shot) {
  return [...(scale === null ? [] : [scale]), ...(rods ?? [])];
}

function rodPicks(shot: Shot): unknown {
  return [rodsOf(shot).map(({ a, b, aFrame, bFrame }) => [a, b, aFrame, bFrame]), shot.control];
}

function rodLengths(shot: Shot): unknown {
  return rodsOf(shot).map(({ rodM }) => rodM);
}

/** Relative, of the lengths of all rods together, each weighed by its own. */
function lengthU(shot: Shot): number {
  const weights = rodsOf(shot).map(({ rodM: { value, u } }) => (value / u) ** 2);
  return weights.length === 0 ? 0 : 1 / Math.sqrt(weights.reduce((sum, one) => sum + one, 0));
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
