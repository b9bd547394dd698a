import { describe, expect, it } from "vitest";
import { isOfMargins, marginNotices } from "../../../src/shared/launchers/margin-notices.ts";
import type { Quantity } from "../../../src/shared/quantity/measured.ts";
import { MODEL_NOTICES } from "../../../src/shared/results/notices/model-notices.ts";
import { ofShot } from "../../support/notice-codes.ts";

const of = (value: number, u: number): Quantity => ({ value, u, unit: "1", how: "" });
const codes = (loadFactor: Quantity | null, limit: { value: number; u: number } | null, margin?: Quantity) =>
  marginNotices(
    "measured",
    { ...(loadFactor && { loadFactor }), ...(margin && { stallMargin: margin }) },
    limit,
  ).map(({ code }) => code);

describe("the load limit", () => {
  it("is passed above it, in doubt within twice the root sum of squares of both uncertainties, else quiet", () => {
    // u 0.3 and 0.4 are 0.5 together: from 29 on 30 is in doubt.
    const limit = { value: 30, u: 0.4 };
    expect(codes(of(28.99, 0.3), limit)).toEqual([]);
    expect(codes(of(29.01, 0.3), limit)).toEqual([ofShot("near-load-limit")]);
    expect(codes(of(30, 0.3), limit)).toEqual([ofShot("near-load-limit")]);
    expect(codes(of(30.01, 0.3), limit)).toEqual([ofShot("load-limit")]);
  });

  it("of exact numbers may be reached, not passed", () => {
    expect(codes(of(30, 0), { value: 30, u: 0 })).toEqual([]);
    expect(codes(of(30.001, 0), { value: 30, u: 0 })).toEqual([ofShot("load-limit")]);
  });

  it("is nothing to speak of where load or limit is not known", () => {
    expect(codes(null, { value: 30, u: 0 })).toEqual([]);
    expect(codes(of(99, 1), null)).toEqual([]);
  });

  it("is told with both numbers, and with what lessens the load on this kind of launcher", () => {
    const told = (less?: string) =>
      marginNotices("predicted", { loadFactor: of(31, 0.5) }, { value: 30, u: 1 }, less)[0]!;
    expect(told().cause).toMatch(/31\.0 ± 0\.5.*30\.0 ± 1\.0/);
    expect(told("Use weaker motors.").remedy).toContain("Use weaker motors.");
    expect(told().remedy).not.toContain("Use weaker motors.");
  });
});

describe("the stall", () => {
  it("is below 1 a danger, within twice u of the customary 1.2 a warning, else quiet", () => {
    expect(codes(null, null, of(0.999, 0.001))).toEqual([ofShot("below-stall")]);
    expect(codes(null, null, of(1, 0.001))).toEqual([ofShot("near-stall")]);
    expect(codes(null, null, of(1.29, 0.05))).toEqual([ofShot("near-stall")]);
    expect(codes(null, null, of(1.31, 0.05))).toEqual([]);
    expect(codes(null, null, of(1.2, 0))).toEqual([]);
  });
});

it("comes after the load, and both are known as words on margins", () => {
  const told = marginNotices("measured", { loadFactor: of(40, 1), stallMargin: of(0.9, 0.1) }, of(30, 1));
  expect(told.map(({ code }) => code)).toEqual([ofShot("load-limit"), ofShot("below-stall")]);
  expect(told.every(isOfMargins)).toBe(true);
  expect(isOfMargins(MODEL_NOTICES["no-launcher"]())).toBe(false);
});
