import { AFTER_RELEASE } from "../../../shared/predict/after-release.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { Quantity } from "../../../shared/quantity/measured.ts";
import { QUANTITY_NAMES } from "../../../shared/results/quantity-table.ts";
import { HEADLINES, type Measurement, type QuantityName } from "../../../shared/results/shot-result.ts";

/**
 * Stands elsewhere: the four on top of the ledger, what the airframe stands and the flight after release
 * under Verdict, the push line in words.
 */
const ELSEWHERE: ReadonlySet<QuantityName> = new Set([
  ...HEADLINES,
  "stallSpeed",
  "stallMargin",
  "loadFactor",
  "pushLineOffset",
  ...AFTER_RELEASE,
]);

/** The measured results that stand nowhere else, in the order a report lists them. */
export function moreResults(
  quantities: Measurement["quantities"],
): readonly { readonly name: QuantityName; readonly quantity: Quantity }[] {
  return QUANTITY_NAMES.flatMap((name) => {
    const quantity = quantities[name];
    return quantity === undefined || ELSEWHERE.has(name) ? [] : [{ name, quantity }];
  });
}

const TELLING_U = 2; // standard uncertainties from zero, below which the side is not told

/**
 * Where the push passes the centre of gravity, with the sign in words; a line whose side its u does not tell
 * is said to pass through it as far as can be told. Positive is below, and turns the nose up.
 */
export function pushLineSays(offset: Quantity, units: UnitSet): string {
  const [factor, symbol] = units === "SI" ? [1e3, "mm"] : [1 / 0.0254, "in"]; // in: exact
  const shown = showMeasured({ value: Math.abs(offset.value) * factor, u: offset.u * factor }, "1");
  const size = `${shown.value} ± ${shown.u} ${symbol}`;
  if (Math.abs(offset.value) < TELLING_U * offset.u) {
    return `The push passes within ${size} of the centre of gravity: the uncertainty leaves the side open.`;
  }
  return offset.value > 0
    ? `The push passes ${size} below the centre of gravity and turns the nose up.`
    : `The push passes ${size} above the centre of gravity and turns the nose down.`;
}
