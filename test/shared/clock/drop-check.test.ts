import { describe, expect, it } from "vitest";
import {
  type DroppedBall,
  dragFallM,
  dragRatio,
  terminalSpeed,
} from "../../../src/shared/clock/drag-fall.ts";
import { type DropInput, dropCheck } from "../../../src/shared/clock/drop-check.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { sameScale, sameScaleSpeed } from "../../reference/same-scale.ts";

const G = 9.81;
const SCALE = { value: 0.002, u: 0.000006 };
const GRAVITY = { value: G, u: 0.0005 };
const exact = (value: number) => ({ value, u: 0 });
const CELLULOID: DroppedBall = {
  massKg: { value: 0.0027, u: 0.00005 },
  diameterM: { value: 0.04, u: 0.0001 },
  dragCoefficient: { value: 0.47, u: 0.04 },
  airDensity: { value: 1.2, u: 0.01 },
};
const STEEL: DroppedBall = { ...CELLULOID, massKg: exact(0.066), diameterM: exact(0.0254) };

interface Drop {
  readonly rateHz?: number;
  readonly frames?: number;
  readonly ball?: DroppedBall | null;
  /** Frames from rest to the first mark. */
  readonly late?: number;
  readonly rollRad?: number;
  readonly noise?: number;
  readonly seed?: number;
}

/** A drop as a camera would see it: SCALE m/px, true down turned by the roll. */
function drop({
  rateHz = 240,
  frames = 120,
  ball = null,
  late = 0,
  rollRad = 0,
  noise = 0,
  seed = 1,
}: Drop = {}): DropInput {
  const chance = createChance(seed);
  const marks = Array.from({ length: frames }, (_, i) => {
    const t = (i + late) / rateHz;
    const metres = ball === null ? (G * t * t) / 2 : dragFallM(t, terminalSpeed(ball, G).value, G);
    const s = metres / SCALE.value;
    return {
      frame: 17 + i,
      x: 300 - Math.sin(rollRad) * s + noise * chance.normal(),
      y: 80 + Math.cos(rollRad) * s + noise * chance.normal(),
      u: noise || 0.4,
    };
  });
  return { marks, scale: SCALE, gravity: GRAVITY, ball, plumbRad: rollRad };
}

describe("dropCheck", () => {
  it("finds the rate and the rest frame of a fall without air, also from marks that begin late", () => {
    for (const late of [0, 25.5]) {
      const found = unwrap(dropCheck(drop({ late })));
      expect(found.captureRateHz.value).toBeCloseTo(240, 8);
      expect(found.restFrame).toBeCloseTo(17 - late, 6);
      expect(found.doubts.map(({ code }) => code)).toEqual(["drag-left-out"]);
    }
  });

  it("takes drag out exactly, of a light ball and a late start too", () => {
    for (const late of [0, 30]) {
      const found = unwrap(dropCheck(drop({ ball: CELLULOID, late })));
      expect(found.captureRateHz.value).toBeCloseTo(240, 6);
      expect(found.dragRatio.value).toBeLessThan(0.95);
      expect(found.doubts).toEqual([]);
    }
  });

  it("without the ball's drag reads high by half of what drag takes: 5 % and more for a table-tennis ball", () => {
    const seen = { ...drop({ ball: CELLULOID }), ball: null };
    const found = unwrap(dropCheck(seen));
    const ratio = dragRatio(
      CELLULOID,
      G,
      seen.marks.map((_, i) => i / 240),
      seen.marks.map(() => 1),
    );
    expect(found.captureRateHz.value).toBeCloseTo(240 / Math.sqrt(ratio.value), 6);
  });

  it("carries the u of C_d, mass, diameter and air into the rate", () => {
    const { parts, dragRatio: ratio } = unwrap(dropCheck(drop({ ball: CELLULOID })));
    // First order in drag: 1 - r goes with ρ C_d d²/m, so u(r) is about (1 - r) times their relative u.
    const relative = Math.hypot(0.05 / 2.7, 0.04 / 0.47, 0.01 / 1.2, (2 * 0.1) / 40);
    // what is left is of second order in 1 - r, 10 %
    expect(Math.abs(parts.drag / (((1 - ratio.value) * relative) / ratio.value / 2) - 1)).toBeLessThan(0.1);
    expect(parts.drag).toBeGreaterThan(0.002);
    expect(unwrap(dropCheck(drop({ ball: STEEL }))).parts.drag).toBeLessThan(1e-4);
  });

  it("follows the plumb of a rolled picture, and doubts a fall that leans from it", () => {
    const rolled = drop({ rollRad: 0.12 });
    expect(unwrap(dropCheck(rolled)).captureRateHz.value).toBeCloseTo(240, 8);
    const wrong = unwrap(dropCheck({ ...rolled, plumbRad: 0 }));
    expect(wrong.captureRateHz.value).toBeCloseTo(240 / Math.sqrt(Math.cos(0.12)), 6);
    expect(wrong.doubts).toContainEqual({
      code: "leans",
      numbers: { leanRad: expect.closeTo(-0.12, 6), allowedRad: 0.02 },
    });
  });

  it("scales as it must: twice the m/px and half of g each divide the rate by √2; frames left out change nothing", () => {
    const base = drop({ noise: 0.3 });
    const rate = (input: DropInput) => unwrap(dropCheck(input)).captureRateHz.value;
    expect(rate({ ...base, scale: exact(0.004) }) / rate(base)).toBeCloseTo(Math.SQRT1_2, 12);
    expect(rate({ ...base, gravity: exact(G / 2) }) / rate(base)).toBeCloseTo(Math.SQRT1_2, 12);
    const clean = drop();
    expect(rate({ ...clean, marks: clean.marks.filter((_, i) => i % 3 !== 1) })).toBeCloseTo(240, 8);
  });

  it("states a u that 1000 seeded drops bear out to 7 %, three standard errors of a sample sd", () => {
    const z = Array.from({ length: 1000 }, (_, seed) => {
      const input = drop({ noise: 0.5, frames: 60, ball: STEEL, seed });
      const chance = createChance(seed + 90_000);
      const scale = { ...SCALE, value: SCALE.value + SCALE.u * chance.normal() };
      const steel = { ...STEEL, ...{ dragCoefficient: { value: 0.47 + 0.04 * chance.normal(), u: 0.04 } } };
      const { captureRateHz } = unwrap(dropCheck({ ...input, scale, ball: steel, gravity: exact(G) }));
      return (captureRateHz.value - 240) / captureRateHz.u;
    });
    const sd = Math.sqrt(z.reduce((sum, one) => sum + one * one, 0) / z.length);
    expect(Math.abs(sd - 1)).toBeLessThan(0.07);
  });

  it("doubts marks made before the ball was let go, a fall that ends on the ground, and marks worse than said", () => {
    const fall = drop({ noise: 0.4 });
    const held = fall.marks.map((mark, i) =>
      i < 30 ? { ...mark, y: 80 } : { ...mark, y: fall.marks[i - 30]?.y ?? 0 },
    );
    const codes = (marks: DropInput["marks"]) =>
      unwrap(dropCheck({ ...fall, marks })).doubts.map(({ code }) => code);
    expect(codes(held)).toContain("no-free-fall");
    const landed = fall.marks.map((mark, i) => ({
      ...mark,
      y: Math.min(mark.y, fall.marks[100]?.y ?? 0),
      frame: 17 + i,
    }));
    expect(codes(landed)).toContain("no-free-fall");
    const rough = drop({ noise: 1.2 }).marks.map((mark) => ({ ...mark, u: 0.4 }));
    expect(codes(rough)).toEqual(["marks-scatter", "drag-left-out"]);
    expect(codes(fall.marks)).toEqual(["drag-left-out"]);
    const [honest, widened] = [drop({ noise: 1.2 }).marks, rough].map(
      (marks) => unwrap(dropCheck({ ...fall, marks })).parts.marks,
    );
    // √(χ²/117) scatters by 6.5 %, one standard error; three are allowed.
    expect(Math.abs((widened as number) / (honest as number) - 1)).toBeLessThan(0.2);
  });

  it("raises a doubt on a good drop in fewer than 1 of 200", () => {
    const doubted = Array.from({ length: 400 }, (_, seed) =>
      unwrap(dropCheck(drop({ noise: 0.4, ball: STEEL, seed }))),
    ).filter(({ doubts }) => doubts.length > 0);
    expect(doubted.length).toBeLessThan(2);
  });

  it("refuses too few marks, no fall, and a ball thrown up, with numbers", () => {
    const fall = drop({ noise: 0.4 });
    expect(dropCheck({ ...fall, marks: fall.marks.slice(0, 7) })).toMatchObject({ code: "too-few-marks" });
    const still = fall.marks.map((mark, i) => ({ ...mark, y: 80 + (i % 2) * 0.3 }));
    expect(dropCheck({ ...fall, marks: still })).toMatchObject({ ok: false, code: "not-falling" });
    const thrown = { ...drop({ late: -40 }), ball: STEEL };
    expect(dropCheck(thrown)).toMatchObject({ ok: false, code: "rises-first", numbers: { first: 17 } });
    expect(dropCheck({ ...thrown, ball: null }).ok).toBe(true);
  });

  it("throws on marks out of order, and on a scale that is none", () => {
    expect(() => dropCheck({ ...drop(), marks: [...drop().marks].reverse() })).toThrow(/by frame/);
    expect(() => dropCheck({ ...drop(), scale: exact(0) })).toThrow(/scale and gravity/);
    expect(() => dropCheck(drop({ ball: { ...STEEL, massKg: exact(0) } }))).toThrow(/mass/);
  });
});

describe("sameScale", () => {
  it("leaves half the scale's error in a speed and none in an acceleration when the drop alone gives the rate", () => {
    // u(s)/s 0.4 %, of which the rate holds 0.2 %, besides 0.15 % of its own.
    const rate = Math.hypot(0.002, 0.0015);
    expect(sameScale(1, rate, 0.004, 1)).toMatchObject({
      scale: expect.closeTo(0.002, 12),
      clock: expect.closeTo(0.0015, 12),
    });
    expect(sameScale(2, rate, 0.004, 1)).toMatchObject({ scale: 0, clock: expect.closeTo(0.003, 12) });
    expect(sameScale(1, 0.0025, 0.004, 0)).toEqual({
      scale: 0.004,
      clock: 0.0025,
      total: Math.hypot(0.004, 0.0025),
    });
    expect(sameScaleSpeed(rate, 0.004, 1, 0.001)).toBeCloseTo(Math.hypot(0.002, 0.0015, 0.001), 12);
  });

  it("agrees with 1500 seeded sessions in which one scale serves drop and launch, to 6 %", () => {
    const scaleU = 0.01;
    const results = Array.from({ length: 1500 }, (_, seed) => {
      const input = drop({ noise: 0.5, frames: 60, seed });
      const scale = SCALE.value * (1 + scaleU * createChance(seed + 40_000).normal());
      const found = unwrap(
        dropCheck({ ...input, scale: { value: scale, u: scaleU * scale }, gravity: exact(G) }),
      );
      const speed = 30 * scale * found.captureRateHz.value; // 30 px a frame, exactly
      const rateU = found.captureRateHz.u / found.captureRateHz.value;
      return {
        off: speed / (30 * SCALE.value * 240) - 1,
        u: sameScaleSpeed(rateU, scaleU, 1, 0),
        naive: Math.hypot(rateU, scaleU),
      };
    });
    const rms = (list: readonly number[]) =>
      Math.sqrt(list.reduce((sum, one) => sum + one * one, 0) / list.length);
    expect(Math.abs(rms(results.map(({ off, u }) => off / u)) - 1)).toBeLessThan(0.06);
    // counted as independent it would be twice too wide
    expect(rms(results.map(({ off, naive }) => off / naive))).toBeLessThan(0.6);
  });

  it("throws when the rate cannot hold the scale's part", () => {
    expect(() => sameScale(1, 0.001, 0.004, 1)).toThrow(/cannot hold/);
  });
});
