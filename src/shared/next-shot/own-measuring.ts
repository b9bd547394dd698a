import type { BudgetLine } from "../results/shot-result.ts";
import { clockErrorOf } from "../session/clock-error.ts";
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

/** A release speed's uncertainty by who else has it. */
export interface SpeedParts {
  /** m/s, of this shot alone. */
  readonly ownU: number;
  /** m/s, of what other shots may share, each by what it is of. */
  readonly shared: readonly SharedPart[];
}

export interface SharedPart {
  /** Two shots share it where this is the same. */
  readonly by: string;
  /** m/s */
  readonly u: number;
}

/**
 * The same apart for shots of several outings, where a rod or a camera may be another: the rods' lengths and
 * the clock by what the document holds of them, whatever else is not the shot's own as one.
 * @param speed m/s, with all of its u
 */
export function speedParts(
  shot: Shot,
  shots: readonly Shot[],
  lines: readonly BudgetLine[],
  speed: { readonly value: number; readonly u: number },
): SpeedParts {
  const lineOf = (source: BudgetLine["source"]) => lines.find((one) => one.source === source)?.u ?? 0;
  const lengths = Math.min(lineOf("scale"), speed.value * lengthU(shot));
  const clock = lineOf("clock");
  const all = ownMeasuring(shot, shots, lines, speed.value);
  const isAlone = !shots.some((one) => one.id !== shot.id && same(rodLengths(one), rodLengths(shot)));
  const isPicked = !shots.some((one) => one.id !== shot.id && same(rodPicks(one), rodPicks(shot)));
  const ownU = isAlone && isPicked ? Math.sqrt(Math.max(0, all ** 2 - lengths ** 2)) : all;
  const left = Math.sqrt(Math.max(0, speed.u ** 2 - ownU ** 2 - lengths ** 2 - clock ** 2));
  return {
    ownU: Math.min(ownU, speed.u),
    shared: [
      { by: rodErrorOf(shot), u: lengths },
      { by: clockErrorOf(shot), u: clock },
      { by: "what else the shots of an outing share", u: left },
    ].filter(({ u }) => u > 0),
  };
}

/** A name for the error of the lengths of a shot's rods: the same where the same numbers are stated. */
export function rodErrorOf(shot: Pick<Shot, "scale" | "rods">): string {
  return `shot.scale.rodM: ${JSON.stringify(rodLengths(shot))}`;
}

function rodsOf({ scale, rods }: Pick<Shot, "scale" | "rods">) {
  return [...(scale === null ? [] : [scale]), ...(rods ?? [])];
}

function rodPicks(shot: Shot): unknown {
  return [rodsOf(shot).map(({ a, b, aFrame, bFrame }) => [a, b, aFrame, bFrame]), shot.control];
}

function rodLengths(shot: Pick<Shot, "scale" | "rods">): unknown {
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
