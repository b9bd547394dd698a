import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement, WRONG_ENTRY } from "./agreement.ts";
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
   * rad, as plumbAngle gives it: true down is (-sin, cos) in the picture; u enlarged by the Birge
   * ratio when that exceeds 1.
   */
  readonly rollRad: Measured;
  readonly agreement: Agreement;
  /**
   * Roll of each line alone, and its distance from the combined roll in standard
   * uncertainties of that distance.
   */
  readonly lines: readonly { readonly rollRad: Measured; readonly deviation: number }[];
}

/**
 * Roll of the picture from plumb and level lines: each line's roll (a level line's is atan2(dy, dx), taken
 * within a quarter turn of the first line), combined by weights 1/u². Source: JCGM 100:2008, 5.1.2; Birge,
 * Phys. Rev. 40:207 (1932).
 * @returns rad; or "no-lines"; "too-close" with `line` (index), `separationPx`, `neededPx`; "lines-disagree"
 *   when scatter like this has a chance below 5.7e-7, with `birge`, `line` and `differenceRad`, that line's
 *   distance from the combined roll
 * @throws RangeError as plumbAngle
 */
export function rollFromLines(
  lines: readonly ReferenceLine[],
): Result<Roll, "no-lines" | "too-close" | "lines-disagree"> {
  if (lines.length === 0) return refuse("no-lines");
  const rolls: Measured[] = [];
  for (const [line, one] of lines.entries()) {
    const roll = rollOf(one);
    if (!roll.ok) return refuse("too-close", { ...roll.numbers, line });
    rolls.push(roll.value);
  }
  // Angles are compared near the first plumb, or near an upright picture when only level lines are known.
  const plumb = lines.findIndex((line) => line.kind === "plumb");
  const near = plumb >= 0 ? rolls[plumb].value : 0;
  const turned = rolls.map(({ value, u }, i) => {
    const period = lines[i].kind === "level" ? Math.PI : 2 * Math.PI;
    return { value: value - period * Math.round((value - near) / period), u };
  });
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
  if (consistency.chance < WRONG_ENTRY) {
    const sizes = turned.map(({ value }) => Math.abs(value - mean));
    const line = sizes.indexOf(Math.max(...sizes));
    return refuse("lines-disagree", { birge: consistency.birge, line, differenceRad: sizes[line] });
  }
  return ok({
    rollRad: { value: mean, u: Math.sqrt(variance) * Math.max(1, consistency.birge) },
    agreement: consistency,
    lines: turned.map((rollRad, i) => ({ rollRad, deviation: deviations[i] })),
  });
}

function rollOf({ kind, a, b, uPx, trueRad }: ReferenceLine): Result<Measured, "too-close"> {
  if (kind === "plumb") return plumbAngle(a, b, uPx, trueRad);
  // A level line turned a quarter about a is a plumb: (dx, dy) -> (-dy, dx).
  return plumbAngle(a, [a[0] - (b[1] - a[1]), a[1] + (b[0] - a[0])], uPx, trueRad);
}
