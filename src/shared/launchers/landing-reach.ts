import { displayUnit, showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Conditions } from "../session/schema.ts";

const K = 2; // standard uncertainties to spare, as everywhere

/** How near to the launcher and how far from it an airframe may come down within twice the uncertainty, m. */
export function landingReach(
  range: Measured,
  side: Measured,
): { readonly nearest: number; readonly farthest: number } {
  const least = ({ value, u }: Measured) => Math.max(0, Math.abs(value) - K * u);
  const most = ({ value, u }: Measured) => Math.abs(value) + K * u;
  return {
    nearest: Math.hypot(least(range), least(side)),
    farthest: Math.hypot(most(range), most(side)),
  };
}

/** A least or a greatest distance in words, rounded to the safe side: 2 digits, or tenths below 10. */
export function boundText(metres: number, round: "down" | "up", units: UnitSet): string {
  const { factor } = displayUnit("m", units);
  const shown = metres * factor;
  const step = 10 ** Math.max(-1, Math.floor(Math.log10(Math.max(shown, 1))) - 1);
  // What is nothing but rounding above a step is on it.
  const steps = round === "up" ? Math.ceil(shown / step - 1e-9) : Math.floor(shown / step + 1e-9);
  return showExact((steps * step) / factor, "m", units, 4);
}

/** Whether it comes down, or may come down, where somebody is; nothing where no distance is stated. */
export function clearNotice(
  { clearM }: Conditions,
  range: Measured,
  side: Measured,
  units: UnitSet,
  tell: (distance: string, clear: string, may: boolean) => ShotNotice,
): readonly ShotNotice[] {
  if (clearM == null) return [];
  const value = Math.hypot(range.value, side.value);
  const u = value === 0 ? 0 : Math.hypot(range.value * range.u, side.value * side.u) / value;
  if (landingReach(range, side).farthest <= clearM.value - K * clearM.u) return [];
  const clear = clearM.u > 0 ? showMeasured(clearM, "m", units).text : showExact(clearM.value, "m", units);
  return [tell(showMeasured({ value, u }, "m", units).text, clear, value <= clearM.value)];
}
