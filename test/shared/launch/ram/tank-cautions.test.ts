import { describe, expect, it } from "vitest";
import { PROPELLER_CAUTION } from "../../../../src/shared/launch/cautions.ts";
import {
  type PressureFacts,
  pressureCautions,
  RAM_CAUTIONS,
} from "../../../../src/shared/launch/ram/tank-cautions.ts";
import { DEFERENCE, PROPELLER_DEFERENCE } from "../../../../src/shared/results/notices/deference.ts";
import { ofShot } from "../../../support/notice-codes.ts";

const FACTS: PressureFacts = {
  gaugePressurePa: { value: 4e5, u: 5e3 },
  storedEnergyJ: { value: 1379, u: 20 },
  tankMaterial: "metal",
  tankRatingPa: 8e5,
};
const codes = (change: Partial<PressureFacts>) =>
  pressureCautions({ ...FACTS, ...change }, "SI").map(({ level, code }) => `${level} ${code}`);

describe("cautions", () => {
  it("state the stored energy with its uncertainty, in the person's units", () => {
    const [stored] = pressureCautions(FACTS, "SI");
    expect(stored).toMatchObject({ level: "note", code: ofShot("stored-pressure") });
    expect(stored!.cause).toContain("1379 ± 20 J");
  });
  it("name plastic pipe a danger and an unstated material or rating a caution", () => {
    expect(codes({})).toEqual([ofShot("note stored-pressure")]);
    expect(codes({ tankMaterial: "plastic-pipe" })).toEqual([
      ofShot("danger plastic-pipe"),
      ofShot("note stored-pressure"),
    ]);
    expect(codes({ tankMaterial: "unknown", tankRatingPa: null })).toEqual([
      ofShot("note tank-material-unknown"),
      ofShot("note tank-rating-unknown"),
      ofShot("note stored-pressure"),
    ]);
  });
  it("name a pressure above the rating a danger, and one that may be above it a warning", () => {
    expect(codes({ tankRatingPa: 3.9e5 })).toContain(ofShot("danger over-rating"));
    expect(codes({ tankRatingPa: 4.05e5 })).toContain(ofShot("warning near-rating"));
    // of 8 bar 48 % are left: below the 4 bar of the gauge
    expect(codes({ ratingShare: 0.48 })).toContain(ofShot("danger over-rating"));
    expect(codes({ ratingShare: 1 })).toEqual(codes({}));
    expect(codes({ reliefPa: 3.9e5 })).toContain(ofShot("danger over-relief"));
    expect(codes({ reliefPa: 4.05e5 })).toContain(ofShot("warning near-relief"));
    expect(codes({ reliefPa: 6e5 })).toEqual(codes({}));
    expect(codes({ tankRatingPa: 8e5, supplyGaugePa: { value: 7.9e5, u: 1e4 } })).toContain(
      ofShot("danger supply-over-rating"),
    );
    expect(codes({ tankRatingPa: 8e5, supplyGaugePa: { value: 7.7e5, u: 1e4 } })).toEqual(codes({}));
    const [over] = pressureCautions({ ...FACTS, tankRatingPa: 3.5e5 }, "field");
    expect(over!.cause).toContain("58.0 ± 0.7 psi");
    expect(over!.cause).toContain("50.7632 psi");
  });
  it("say nothing of energy when there is none", () => {
    expect(codes({ storedEnergyJ: null, gaugePressurePa: null })).toEqual([]);
  });
  it("all end by deferring to those who decide, and none claims that anything is safe", () => {
    const all = [
      ...pressureCautions({ ...FACTS, tankMaterial: "plastic-pipe", tankRatingPa: 1e5 }, "SI"),
      ...pressureCautions({ ...FACTS, tankMaterial: "unknown", tankRatingPa: null }, "SI"),
      ...pressureCautions({ ...FACTS, tankRatingPa: 4.05e5 }, "SI"),
      ...RAM_CAUTIONS,
    ];
    expect(all.length).toBeGreaterThanOrEqual(8);
    expect(PROPELLER_CAUTION.remedy.endsWith(PROPELLER_DEFERENCE)).toBe(true);
    expect(`${PROPELLER_CAUTION.cause} ${PROPELLER_CAUTION.remedy}`).not.toMatch(/\bsafe/i);
    for (const { cause, remedy } of all) {
      expect(remedy.endsWith(DEFERENCE)).toBe(true);
      expect(`${cause} ${remedy}`).not.toMatch(/\bsafe/i);
    }
  });
});
