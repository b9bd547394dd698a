import { describe, expect, it } from "vitest";
import { elasticShotCautions } from "../../../../src/shared/launchers/elastic/predict-elastic-shot.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import type { Airframe, ElasticLauncher } from "../../../../src/shared/session/schema.ts";
import { calmShot, elasticSession, exactly, LINE } from "../../predict/elastic-line.ts";

const shot = (launcher: Partial<ElasticLauncher>, airframe: Partial<Airframe> = {}) =>
  predictShot(elasticSession(launcher, airframe), calmShot());
const numbers = (launcher: Partial<ElasticLauncher>) => shot(launcher).prediction!.quantities;
const OURS = /^(line|anchor|carriage)-/;
const said = (launcher: Partial<ElasticLauncher>, airframe: Partial<Airframe> = {}) =>
  shot(launcher, airframe).notices.flatMap(({ code }) => (OURS.test(code) ? [code] : []));
const stop = (travelU: number, ratedLoadN: number | null) => ({
  endStop: { bufferTravelM: { value: 0.1, u: travelU }, ratedLoadN },
});

describe("the stretch of a line", () => {
  it("is the draw over the free length, with the u of both", () => {
    const { lineStretch } = numbers({
      drawM: { value: 5.5, u: 0.055 },
      freeLengthM: { value: 1.6, u: 0.032 },
    });
    expect(lineStretch!.value).toBeCloseTo(5.5 / 1.6, 12);
    // by hand: √(1 %² + 2 %²), to the second order that a step of one u leaves
    expect(lineStretch!.u / lineStretch!.value).toBeCloseTo(Math.hypot(0.01, 0.02), 4);
    expect(numbers({}).lineStretch).toBeUndefined();
  });

  it("is a danger past its limit, a warning within twice its u of it, and asks for what it lacks", () => {
    const stretched = (stretchLimit: number, u = 0) => said({ freeLengthM: { value: 1.6, u }, stretchLimit });
    expect(stretched(3.43)).toEqual(["line-stretch-over"]);
    expect(stretched(3.45)).toEqual([]);
    expect(stretched(3.45, 0.01)).toEqual(["line-stretch-near"]);
    expect(said({ stretchLimit: 3 })).toEqual(["line-length-unknown"]);
    expect(said({ freeLengthM: exactly(1.6) })).toEqual([]);
  });
});

describe("the pull on the anchor", () => {
  it("is that of all lines at the draw, with the u of draw and force", () => {
    // scipy 1.17.1, PchipInterpolator: 58.5632184 N a line at 5.5 m, its slope there 13.9770115 N/m
    const drawn = numbers({ drawM: { value: 5.5, u: 0.002 } }).anchorPull!;
    expect(drawn.value).toBeCloseTo(2 * 58.56321839080459, 9);
    expect(drawn.u).toBeCloseTo(2 * 13.977011494252872 * 0.002, 5);
    const scaled = numbers({ forceScale: { value: 1, u: 0.05 } }).anchorPull!;
    expect(scaled.u).toBeCloseTo(0.05 * scaled.value, 9);
  });

  it("is held against the anchor's rating", () => {
    const anchored = (anchorRatedLoadN: number, u = 0) =>
      said({ anchorRatedLoadN, forceScale: { value: 1, u } });
    expect(anchored(117)).toEqual(["anchor-over"]);
    expect(anchored(118)).toEqual([]);
    expect(anchored(118, 0.01)).toEqual(["anchor-near"]);
    expect(said({ anchorRatedLoadN: 117, lines: 1 })).toEqual([]);
  });

  it("and the stretch are judged though nothing can be predicted", () => {
    const over = { freeLengthM: exactly(1.6), stretchLimit: 3, anchorRatedLoadN: 100 };
    expect(shot(over, { massKg: null }).prediction).toBeNull();
    expect(said(over, { massKg: null })).toEqual(["line-stretch-over", "anchor-over"]);
    // a draw past the table has a stretch, and a force that nobody measured
    expect(said({ ...over, drawM: exactly(7) })).toEqual(["line-stretch-over"]);
  });
});

describe("the stop of the carriage", () => {
  it("takes the carriage and a third of the lines at the release speed", () => {
    // by hand: ½ (0.15 + 2·0.12/3) kg · (25.0490502661 m/s)², and over 0.1 m
    const { endStopEnergy, endStopMeanForce, endStopPeakForce } = numbers(stop(0.005, null));
    expect(endStopEnergy!.value).toBeCloseTo(72.15731571, 6);
    expect(endStopMeanForce!.value).toBeCloseTo(721.5731571, 5);
    expect(endStopPeakForce!.value).toBeCloseTo(1443.1463142, 5);
    expect(endStopEnergy!.u).toBe(0);
    expect(endStopPeakForce!.u / endStopPeakForce!.value).toBeCloseTo(0.05, 3);
  });

  it("has an energy without a buffer too, and none where nothing stays behind", () => {
    expect(numbers({}).endStopEnergy!.value).toBeCloseTo(72.15731571, 6);
    expect(numbers({}).endStopPeakForce).toBeUndefined();
    expect(numbers({ carriageKg: exactly(0) }).endStopEnergy).toBeUndefined();
  });

  it("leaves stall and energies of the line as they were", () => {
    const wing = { wingAreaM2: exactly(0.142), liftCoefficientMax: exactly(1.15) };
    const of = (part: Partial<ElasticLauncher>) => shot(part, wing).prediction!;
    const [with_, without] = [of(stop(0.005, null)), of({})];
    for (const name of ["stallSpeed", "stallMargin", "releaseSpeed"] as const)
      expect(with_.quantities[name]).toEqual(without.quantities[name]);
    expect(with_.storedEnergyJ).toEqual(without.storedEnergyJ);
  });

  it("is a danger past the joint's rating, a warning near it, a note without one", () => {
    expect(said(stop(0, 1440))).toEqual(["carriage-stop-over"]);
    expect(said(stop(0, 1450))).toEqual([]);
    expect(said(stop(0.001, 1450))).toEqual(["carriage-stop-near"]);
    expect(said(stop(0, null))).toEqual(["carriage-stop-rating-unknown"]);
  });

  it("is spoken of wherever a carriage stays behind", () => {
    const codes = (part: Partial<ElasticLauncher>) =>
      elasticShotCautions({ ...LINE, ...part }, "SI").map(({ code }) => code);
    expect(codes({})).toContain("elastic-carriage");
    expect(codes({ carriageKg: exactly(0) })).not.toContain("elastic-carriage");
  });
});
