import { describe, expect, it } from "vitest";
import { LOOKS, type Theme } from "../../../src/shared/figures/look.ts";

const THEMES: readonly Theme[] = ["light", "dark", "print"];

/** Relative luminance of an sRGB colour. Source: WCAG 2.2, definition of relative luminance. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5]
    .map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255)
    .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((p, q) => q - p);
  return (light! + 0.05) / (dark! + 0.05);
}

/** CIE 1976 lightness of a relative luminance above 0.0089. */
function lightness(hex: string): number {
  return 116 * Math.cbrt(luminance(hex)) - 16;
}

it("measures contrast as published: black on white 21:1, #767676 on white 4.54:1", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 10);
  expect(contrast("#767676", "#ffffff")).toBeCloseTo(4.54, 2);
});

describe.each(THEMES)("the %s look", (theme) => {
  const look = LOOKS[theme];
  const grounds = { paper: look.paper, push: look.pushWash, freeFlight: look.freeFlightWash };

  it("sets every word 4.5:1 or better on every ground", () => {
    for (const [ground, colour] of Object.entries(grounds)) {
      for (const word of ["ink", "soft", "measuredText", "predictedText", "danger"] as const) {
        expect(contrast(look[word], colour), `${word} on ${ground}`).toBeGreaterThanOrEqual(4.5);
      }
    }
  });

  it("sets both curves 3:1 or better on every ground", () => {
    for (const [ground, colour] of Object.entries(grounds)) {
      for (const line of ["measured", "predicted"] as const) {
        expect(contrast(look[line], colour), `${line} on ${ground}`).toBeGreaterThanOrEqual(3);
      }
    }
  });

  it("makes measured and predicted differ by 10 or more in lightness", () => {
    expect(Math.abs(lightness(look.measured) - lightness(look.predicted))).toBeGreaterThanOrEqual(10);
  });
});
