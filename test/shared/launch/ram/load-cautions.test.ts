import { describe, expect, it } from "vitest";
import { baseCaution, baseLoads, endStopCautions } from "../../../../src/shared/launch/ram/load-cautions.ts";
import { DEFERENCE } from "../../../../src/shared/results/notices/deference.ts";
import { ofShot } from "../../../support/notice-codes.ts";

const LOAD = {
  energyJ: { value: 46, u: 2 },
  meanN: { value: 2300, u: 100 },
  peakN: { value: 4600, u: 200 },
};
const stop = (ratedLoadN: number | null) => endStopCautions({ ...LOAD, ratedLoadN }, "SI");
const push = { value: 490, u: 10 };

describe("endStopCautions", () => {
  it("hold the spring buffer's peak against the rating: above, within twice u, below", () => {
    expect(stop(4500).map(({ level, code }) => [level, code])).toEqual([["danger", ofShot("end-stop-over")]]);
    expect(stop(4900).map(({ level, code }) => [level, code])).toEqual([
      ["warning", ofShot("end-stop-near")],
    ]);
    expect(stop(5001)).toEqual([]);
    expect(stop(null).map(({ level, code }) => [level, code])).toEqual([
      ["note", ofShot("end-stop-rating-unknown")],
    ]);
  });
  it("give energy, mean and peak with their u, and the rating", () => {
    expect(stop(4500)[0]!.cause).toContain("46.0 ± 2.0 J: 2300 ± 100 N");
    expect(stop(4500)[0]!.cause).toContain("4600 ± 200 N");
    expect(stop(4500)[0]!.cause).toContain("rated for 4500 N");
  });
});

describe("baseLoads and baseCaution", () => {
  const codes = (pull: number | null, rated: number | null) =>
    baseLoads(push, pull === null ? null : { value: pull, u: 20 }, rated).flatMap((load) => {
      const caution = baseCaution(load, "SI");
      return caution === null ? [] : [`${caution.level} ${caution.code}`];
    });
  it("hold the push and, where it is known, the pull of the end stop against the fixings' rating", () => {
    expect(codes(4000, null)).toEqual([]);
    expect(codes(4000, 480)).toEqual([ofShot("danger base-push-over"), ofShot("danger base-pull-over")]);
    expect(codes(null, 505)).toEqual([ofShot("warning base-push-near")]);
    expect(codes(560, 600)).toEqual([]);
    expect(codes(570, 600)).toEqual([ofShot("warning base-pull-near")]);
  });
  it("say of each load, within the rating too, how it stands", () => {
    const pull = { value: 570, u: 20 };
    expect(baseLoads(push, pull, 600)).toEqual([
      { way: "push", loadN: push, ratedLoadN: 600, standing: "within" },
      { way: "pull", loadN: pull, ratedLoadN: 600, standing: "near" },
    ]);
    expect(baseLoads(push, pull, 480).map(({ standing }) => standing)).toEqual(["above", "above"]);
  });
});

it("every caution of a load ends by deferring to those who decide, and claims nothing", () => {
  const all = [
    ...[4500, 4900, null].flatMap(stop),
    ...[480, 505].flatMap((rated) =>
      baseLoads(push, push, rated).flatMap((load) => baseCaution(load, "field") ?? []),
    ),
  ];
  expect(all.length).toBe(7);
  for (const { cause, remedy } of all) {
    expect(remedy.endsWith(DEFERENCE)).toBe(true);
    expect(`${cause} ${remedy}`).not.toMatch(/\bsafe/i);
  }
});
