import { expect, it } from "vitest";
import { blurLengthPx, judgeBlur } from "../../../src/shared/clock/blur.ts";

it("judgeBlur warns beyond 3 px, not at 3 px, with the exposure that would do", () => {
  expect(judgeBlur(24, 1 / 8000, 1e-3)).toMatchObject({ blurred: false, blurPx: 3, limitPx: 3 });
  expect(judgeBlur(18, 1 / 1000, 2e-3)).toMatchObject({
    blurred: true,
    blurPx: 9,
    exposureThatWouldDoS: 1 / 3000,
  });
});

it("judgeBlur warns beyond half the mark when that is less", () => {
  expect(judgeBlur(18, 1 / 4000, 2e-3, 4)).toMatchObject({ blurred: true, blurPx: 2.25, limitPx: 2 });
  expect(judgeBlur(18, 1 / 4000, 2e-3, 5)).toMatchObject({ blurred: false, limitPx: 2.5 });
  expect(judgeBlur(18, 1 / 4000, 2e-3, 40)).toMatchObject({ blurred: false, limitPx: 3 });
});

it("judgeBlur of a thing at rest allows any exposure", () => {
  expect(judgeBlur(0, 1 / 30, 2e-3)).toMatchObject({
    blurred: false,
    exposureThatWouldDoS: Number.POSITIVE_INFINITY,
  });
});

it("blurLengthPx and judgeBlur throw on what cannot be", () => {
  expect(() => blurLengthPx(-1, 0.001, 0.002)).toThrow(/speed and exposure >= 0/);
  expect(() => blurLengthPx(1, 0.001, 0)).toThrow(/scale > 0/);
  expect(() => judgeBlur(1, 0.001, 0.002, 0)).toThrow(/mark size 0 px/);
});
