import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement, widenedU } from "./agreement.ts";
import { plumbAngle } from "./plumb-angle.ts";

/** A marked line that is vertical (a, its top, to b, its bottom) or level (a and b in either order). */
export interface ReferenceLine {
  readonly kind: "plumb" | "level";
  readonly a: PxPoint;
  readonly b: PxPoint;
  /** px, standard uncertainty of each picked coordinate. */
  readonly uPx: number;
  /** rad, standard uncertainty of the line's own direction: how true it hangs or lies. */
  readonly trueRad: number;
}

export interface Roll {
  /**
   * rad, as plumbAngle gives it: true down is (-sin, cos) in the picture; u enlarged as widenedU says.
   */
  readonly rollRad: Measured;
  /** rad, standard uncertainty as the stated inputs give it, before enlarging. */
  readonly statedU: number;
  /** [n], sum 1: how much each line counts. */
  readonly weights: readonly number[];
  readonly agreement: Agreement;
  /**
   * Roll of each line alone, and its distance from the combined roll in standard
   * uncertainties of that distance.
   */
  readonly lines: readonly { readonly rollRad: Measured; readonly deviation: number }[];
}

/**
 * Roll of the picture from plumb and level lines: each line's roll (a level line's is atan2(dy, dx), taken
 * within a quarter turn of the first line), combined by weights 1/u². Lines that contradict each other
 * widen u, however much they do: an angle known badly is still known. Source: JCGM 100:2008, 5.1.2; Birge,
 * Phys. Rev. 40:207 (1932).
 * @returns rad; or "no-lines"; "too-close" with `line` (index), `separationPx`, `neededPx`
 * @throws RangeError as plumbAngle
 */
export function rollFromLines(lines: readonly ReferenceLine[]): Result<Roll, "no-lines" | "too-close"> {
  if (lines.length === 0) return refuse("no-lines");
  const rolls: Measured[] = [];
  for (const [line, one] of lines.entries()) {
    const roll = rollOf(one);
    if (!roll.ok) return refuse("too-close", { ...roll.numbers, line });
    rolls.push(roll.value);
  }
  const turned = compared(lines, rolls);
  const exact = turned.filter((one) => one.u === 0);
  const used = exact.length > 0 ? exact.map(({ value }) => ({ value, u: 1e-12 })) : turned;
  const information = used.reduce((sum, { u }) => sum + u ** -2, 0);
  const mean = used.reduce((sum, { value, u }) => sum + value * u ** -2, 0) / information;
  const variance = exact.length > 0 ? 0 : 1 / information;
  const chiSquare = used.reduce((sum, { value, u }) => sum + ((value - mean) / u) ** 2, 0);
  const consistency = agreement(chiSquare, used.length - 1);
  const deviations = turned.map(({ value, u }) => {
    const left = u ** 2 - variance;
    return left > 1e-12 * variance && left > 0 ? (value - mean) / Math.sqrt(left) : 0;
  });
  const statedU = Math.sqrt(variance);
  const singles = turned.map(({ value, u }, i) => ({ away: value - mean, deviation: deviations[i], u }));
  return ok({
    rollRad: { value: mean, u: widenedU(statedU, consistency, singles) },
    statedU,
    weights:
      exact.length > 0
        ? turned.map(({ u }) => (u === 0 ? 1 / exact.length : 0))
        : used.map(({ u }) => u ** -2 / information),
    agreement: consistency,
    lines: turned.map((rollRad, i) => ({ rollRad, deviation: deviations[i] })),
  });
}

/**
 * rad that the lines give with the weights held: what a small change of a pick does to the combined roll,
 * whether or not the lines still agree after it.
 * @param weights of rollFromLines, same order
 * @returns null when the ends of a line fall together
 */
export function rollAtWeights(lines: readonly ReferenceLine[], weights: readonly number[]): number | null {
  const rolls: Measured[] = [];
  for (const line of lines) {
    const roll = rollOf({ ...line, uPx: 0 });
    if (!roll.ok) return null;
    rolls.push(roll.value);
  }
  return compared(lines, rolls).reduce((sum, { value }, i) => sum + weights[i] * value, 0);
}

/** Rolls near the first plumb, or near an upright picture when only level lines are known. */
function compared(lines: readonly ReferenceLine[], rolls: readonly Measured[]): readonly Measured[] {
  const plumb = lines.findIndex((line) => line.kind === "plumb");
  const near = plumb >= 0 ? rolls[plumb].value : 0;
  return rolls.map(({ value, u }, i) => {
    const period = lines[i].kind === "level" ? Math.PI : 2 * Math.PI;
    return { value: value - period * Math.round((value - near) / period), u };
  });
}

function rollOf({ kind, a, b, uPx, trueRad }: ReferenceLine): Result<Measured, "too-close"> {
  if (kind === "plumb") return plumbAngle(a, b, uPx, trueRad);
  // A level line turned a quarter about a is a plumb: (dx, dy) -> (-dy, dx).
  return plumbAngle(a, [a[0] - (b[1] - a[1]), a[1] + (b[0] - a[0])], uPx, trueRad);
}
