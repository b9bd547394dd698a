import type { LauncherKind } from "../inputs/input.ts";
import { modelInput } from "../inputs/model-input.ts";
import { showExact, showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";

/** What an input that may be tuned is called where it stands alone. */
export function parameterWords(kind: LauncherKind, path: string): string {
  return modelInput(kind, path).bare;
}

/** A value of an input with its uncertainty, in the unit that it is typed in. */
export function showParameter(kind: LauncherKind, path: string, { value, u }: Measured): string {
  const { symbol, factor, offset } = modelInput(kind, path).unit;
  const shown = showMeasured({ value: value * factor + offset, u: u * factor }, "1");
  const bare = `${shown.value} ± ${shown.u}`;
  return symbol === "" ? bare : symbol === "°" ? `${bare}°` : `${bare} ${symbol}`;
}

/** A limit of an input, to two digits, in the unit that it is typed in. */
export function showLimit(kind: LauncherKind, path: string, value: number): string {
  const { symbol, factor, offset } = modelInput(kind, path).unit;
  const bare = showExact(value * factor + offset, "1", "SI", 2);
  return symbol === "" ? bare : `${bare} ${symbol}`;
}
