import { describe, expect, it } from "vitest";
import { anchorPull, intoCarriageStop } from "../../../../src/shared/launch/elastic/line-loads.ts";
import { STANDARD_GRAVITY as G } from "../../../../src/shared/quantity/gravity.ts";
import { RUBBER_TABLES } from "./rubber-tables.ts";

const { loading } = RUBBER_TABLES;

describe("anchorPull", () => {
  it("is the force drawn out at the draw, as often as there are lines, times the scale", () => {
    const one = { loading, drawM: 5.5, lines: 1, forceScale: 1 };
    // scipy 1.17.1, PchipInterpolator on the same table
    expect(anchorPull(one)).toBeCloseTo(58.56321839080459, 10);
    expect(anchorPull({ ...one, lines: 2 })).toBeCloseTo(2 * 58.56321839080459, 10);
    expect(anchorPull({ ...one, forceScale: 1.1 })).toBeCloseTo(1.1 * 58.56321839080459, 10);
  });

  it("is the greatest on the way where the force falls before the draw", () => {
    const hump: [number, number][] = [
      [0, 0],
      [1, 80],
      [2, 50],
    ];
    const pull = (drawM: number) => anchorPull({ loading: hump, drawM, lines: 1, forceScale: 1 });
    expect(pull(2)).toBe(80);
    expect(pull(1.5)).toBe(80);
    expect(pull(0.5)).toBeLessThan(80);
  });
});

describe("intoCarriageStop", () => {
  const carriage = { carriageKg: 0.15, lineMassKg: 0.12, lines: 2, angleRad: 0.2 };

  it("is half the carriage and a third of the lines times the square of the speed", () => {
    expect(intoCarriageStop(carriage, 20).kineticJ).toBeCloseTo(0.5 * (0.15 + 0.08) * 400, 12);
    expect(intoCarriageStop({ ...carriage, lineMassKg: 0 }, 20).kineticJ).toBeCloseTo(30, 12);
  });

  it("counts their weight downhill, where it drives them on, and not uphill", () => {
    expect(intoCarriageStop(carriage, 20).drivingN).toBe(0);
    const down = intoCarriageStop({ ...carriage, angleRad: -0.2 }, 20);
    expect(down.drivingN).toBeCloseTo(0.23 * G * Math.sin(0.2), 12);
  });
});
