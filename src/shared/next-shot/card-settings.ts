import type { UnitSet } from "../quantity/display.ts";
import { displayUnit } from "../quantity/display.ts";
import type { Unit } from "../quantity/measured.ts";

/**
 * Round numbers in the person's unit between two values, at most `most` of them: steps of 1, 2, 2.5 or 5
 * times a power of ten. SI, increasing.
 */
export function roundSettings(
  low: number,
  high: number,
  unit: Unit,
  units: UnitSet,
  most: number,
): readonly number[] {
  const { factor, offset } = displayUnit(unit, units);
  const [from, to] = [low * factor + offset, high * factor + offset];
  if (!(to > from)) return [];
  for (const step of stepsFrom((to - from) / most)) {
    const first = Math.ceil(from / step - ROUNDING);
    const last = Math.floor(to / step + ROUNDING);
    if (last - first + 1 <= most) {
      return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
        const x = Number((((first + i) * step - offset) / factor).toPrecision(DIGITS));
        return Math.min(high, Math.max(low, x));
      });
    }
  }
  return [];
}

const DIGITS = 12; // 2 bar, not 1.9999999999999998
const ROUNDING = 1e-9; // of a step: an end that is itself a round number stays

function stepsFrom(least: number): readonly number[] {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 2.5, 5, 10, 20, 25]
    .map((one) => one * power)
    .filter((step) => step >= least * (1 - ROUNDING));
}
