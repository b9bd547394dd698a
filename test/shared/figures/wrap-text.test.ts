import { expect, it } from "vitest";
import { textWidthPx } from "../../../src/shared/figures/text-width.ts";
import { wrapText } from "../../../src/shared/figures/wrap-text.ts";

it("breaks between words where a line would be too wide, and loses none", () => {
  const text = "Fit a relief valve, fill from behind cover, vent before coming near.";
  const lines = wrapText(text, 120, 9);
  expect(lines.length).toBeGreaterThan(2);
  expect(lines.join(" ")).toBe(text);
  for (const line of lines) expect(textWidthPx(line, 9)).toBeLessThanOrEqual(120);
});

it("leaves a word alone that is wider than the line, and gives nothing for nothing", () => {
  expect(wrapText("a Donaudampfschiff b", 30, 9)).toEqual(["a", "Donaudampfschiff", "b"]);
  expect(wrapText("  ", 30, 9)).toEqual([]);
});
