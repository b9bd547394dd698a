import { expect, it } from "vitest";
import { textWidthPx } from "../../../src/shared/figures/text-width.ts";

/*
 * Advance widths of a grotesque face, in parts of the size, on the wide side: Helvetica has 0.22 to 0.33
 * for the narrow letters, 0.56 for a digit, 0.58 for a sign, 0.83 for m and M, 0.67 to 0.72 for capitals,
 * 0.5 to 0.56 for the rest.
 */
it.each([
  ["il.", 3 * 0.34],
  ["mW%", 3 * 0.9],
  ["42+", 3 * 0.65],
  ["−±=", 3 * 0.65],
  ["AZ", 2 * 0.7],
  ["°²/", 3 * 0.42],
  ["aθ", 2 * 0.59],
  ["", 0],
])("%j is as wide as its letters", (text, em) => {
  expect(textWidthPx(text, 10)).toBeCloseTo(10 * em, 9);
  expect(textWidthPx(text, 25)).toBeCloseTo(25 * em, 9);
  expect(textWidthPx(text, 10, true)).toBeCloseTo(1.06 * 10 * em, 9); // bold is wider
});
