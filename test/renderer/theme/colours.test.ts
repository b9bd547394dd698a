import { expect, it } from "vitest";
import { colourVariables } from "../../../src/renderer/theme/colours.ts";
import { LOOKS } from "../../../src/shared/figures/look.ts";

/**
 * Relative luminance and contrast of #rrggbb colours. Source: WCAG 2.2, "relative
 * luminance", "contrast ratio".
 */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const s = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const WORDS_ON: readonly (readonly [ink: string, ground: string])[] = [
  ["--ink", "--paper"],
  ["--ink", "--desk"],
  ["--ink", "--ground"],
  ["--ink", "--field"],
  ["--ink", "--raised"],
  ["--ink", "--caution-wash"],
  ["--ink", "--free-flight-wash"],
  ["--soft", "--paper"],
  ["--soft", "--raised"],
  ["--soft", "--push-wash"],
  ["--soft", "--free-flight-wash"],
  ["--desk-soft", "--desk"],
  ["--measured", "--paper"],
  ["--predicted", "--paper"],
  ["--danger", "--paper"],
  ["--danger", "--caution-wash"],
  ["--on-measured", "--measured-line"],
];
const LINES_ON: readonly (readonly [line: string, ground: string])[] = [
  ["--measured-line", "--paper"],
  ["--measured-line", "--push-wash"],
  ["--measured-line", "--free-flight-wash"],
  ["--field-edge", "--paper"],
  ["--field-edge", "--field"],
];

for (const theme of ["light", "dark"] as const) {
  const colours = colourVariables(theme, LOOKS[theme]);
  it(`${theme}: words stand out from every ground they stand on by 4.5 to 1`, () => {
    for (const [ink, ground] of WORDS_ON) {
      expect(contrast(colours[ink]!, colours[ground]!), `${ink} on ${ground}`).toBeGreaterThanOrEqual(4.5);
    }
  });
  it(`${theme}: lines and edges of fields stand out by 3 to 1`, () => {
    for (const [line, ground] of LINES_ON) {
      expect(contrast(colours[line]!, colours[ground]!), `${line} on ${ground}`).toBeGreaterThanOrEqual(3);
    }
  });
}
