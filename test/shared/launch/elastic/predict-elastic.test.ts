import { describe, expect, it } from "vitest";
import { elasticCurve, type ForcePoint } from "../../../../src/shared/launch/elastic/elastic-curve.ts";
import type { ElasticInputs } from "../../../../src/shared/launch/elastic/elastic-inputs.ts";
import { predictElastic } from "../../../../src/shared/launch/elastic/predict-elastic.ts";
import { STANDARD_GRAVITY as G } from "../../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import fc from "../../../support/drawn-inputs.ts";
import { RUBBER_TABLES } from "./rubber-tables.ts";

const spring = (k: number, lastM: number): readonly ForcePoint[] => [
  [0, 0],
  [lastM, k * lastM],
];

/** Level, without friction: the closed forms of a mass on a spring. */
const SPRING: ElasticInputs = {
  loading: spring(24, 3),
  unloading: null,
  drawM: 2.5,
  forceScale: 1,
  lines: 1,
  lineMassKg: 0.18,
  carriageKg: 0.11,
  airframeMassKg: 0.7,
  slidingN: 0,
  angleRad: 0,
};

/** Made-up rubber with a loop, at an angle, with friction and two lines. */
const RUBBER: ElasticInputs = {
  ...RUBBER_TABLES,
  drawM: 5.5,
  forceScale: 1,
  lines: 2,
  lineMassKg: 0.12,
  carriageKg: 0.15,
  airframeMassKg: 0.662,
  slidingN: 4,
  angleRad: (12 * Math.PI) / 180,
};
const pull = (inputs: ElasticInputs, relTol?: number) =>
  unwrap(predictElastic(inputs, relTol === undefined ? {} : { relTol }));

describe("predictElastic on a spring", () => {
  const mass = 0.81 + 0.18 / 3;
  it("gives ½ (m + m_line/3) v² = ½ k x² and a quarter of the period 2π √(m/k)", () => {
    const shot = pull(SPRING);
    expect(shot.releaseSpeedMPerS).toBeCloseTo(2.5 * Math.sqrt(24 / mass), 9);
    expect(shot.pushS).toBeCloseTo((Math.PI / 2) * Math.sqrt(mass / 24), 10);
    expect(shot.peakAccelerationMPerS2).toBeCloseTo((24 * 2.5) / mass, 9);
    expect(shot.peakAccelerationS).toBe(0);
    expect(shot.movingMassKg).toBeCloseTo(mass, 12);
    expect([shot.drawnInJ, shot.givenBackJ]).toEqual([75, 75]);
  });
  it("moves as a cosine in between", () => {
    const shot = pull(SPRING);
    const w = Math.sqrt(24 / mass);
    for (const share of [0.1, 0.37, 0.8]) {
      const t = share * shot.pushS;
      // the dense output is of order 4: some 1e-7 of the draw at this tolerance
      expect(shot.at(t).positionM).toBeCloseTo(2.5 * (1 - Math.cos(w * t)), 7);
      expect(shot.at(t).speedMPerS).toBeCloseTo(2.5 * w * Math.sin(w * t), 6);
    }
    expect(shot.at(-1).positionM).toBe(0);
    expect(shot.at(9)).toMatchObject({ positionM: 2.5, forceN: 0, speedMPerS: shot.releaseSpeedMPerS });
  });
  it("with weight and friction turns about the place where the pull balances them", () => {
    const inputs = { ...SPRING, slidingN: 3, angleRad: 0.6 };
    const against = 3 + (0.81 + 0.18 / 2) * G * Math.sin(0.6);
    const rest = against / 24; // m of extension at balance
    const shot = pull(inputs);
    const amplitude = 2.5 - rest;
    const w = Math.sqrt(24 / mass);
    expect(shot.pushS).toBeCloseTo((Math.PI - Math.acos(rest / amplitude)) / w, 10);
    expect(shot.releaseSpeedMPerS).toBeCloseTo(w * Math.sqrt(amplitude ** 2 - rest ** 2), 9);
    expect(shot.releaseAccelerationMPerS2).toBeCloseTo(-against / mass, 9);
  });
});

describe("predictElastic on rubber", () => {
  it("agrees with an independent integration", () => {
    // scipy 1.10.1: solve_ivp DOP853, rtol 1e-12, max_step 2 ms, on PchipInterpolator of the unloading table;
    // the speed from its integral.
    const shot = pull(RUBBER);
    expect(shot.releaseSpeedMPerS).toBeCloseTo(25.049050266132202, 8);
    expect(shot.pushS).toBeCloseTo(0.3484831235, 8);
    expect(shot.peakAccelerationMPerS2).toBeCloseTo(117.5483949990008, 8);
    expect(shot.drawnInJ).toBeCloseTo(2 * 188.8139435567069, 9);
    expect(shot.givenBackJ).toBeCloseTo(2 * 156.14819172886226, 9);
    expect(shot.lostJ).toBeCloseTo(2 * (188.8139435567069 - 156.14819172886226), 9);
  });

  it("closes the balance of energy to 1e-8 of what the line gives back, all along the way", () => {
    const shot = pull(RUBBER);
    const back = elasticCurve(RUBBER.unloading!);
    const against = (0.812 + 0.12) * G * Math.sin(RUBBER.angleRad) + 4;
    const balance = (positionM: number, speed: number) =>
      2 * (back.energy(5.5) - back.energy(5.5 - positionM)) -
      against * positionM -
      0.5 * shot.movingMassKg * speed ** 2;
    expect(Math.abs(balance(shot.travelM, shot.releaseSpeedMPerS))).toBeLessThan(1e-8 * shot.givenBackJ);
    for (const share of [0.2, 0.5, 0.9]) {
      const { positionM, speedMPerS } = shot.at(share * shot.pushS);
      // between steps the dense output, of one order less, is what closes it
      expect(Math.abs(balance(positionM, speedMPerS))).toBeLessThan(1e-6 * shot.givenBackJ);
    }
  });

  it("changes by no more than the tolerance when the tolerance is halved", () => {
    for (const relTol of [1e-6, 1e-8, 1e-10]) {
      const [one, half] = [pull(RUBBER, relTol), pull(RUBBER, relTol / 2)];
      const apart = (a: number, b: number) => Math.abs(a / b - 1);
      // errors of some 10 steps add
      expect(apart(one.releaseSpeedMPerS, half.releaseSpeedMPerS)).toBeLessThan(10 * relTol);
      expect(apart(one.pushS, half.pushS)).toBeLessThan(10 * relTol);
    }
  });

  it("takes two lines for one line of twice the force and mass", () => {
    const doubled = (table: readonly ForcePoint[]) => table.map(([x, f]): ForcePoint => [x, 2 * f]);
    const one = pull({
      ...RUBBER,
      lines: 1,
      loading: doubled(RUBBER.loading),
      unloading: doubled(RUBBER.unloading!),
      lineMassKg: 0.24,
    });
    expect(one.releaseSpeedMPerS).toBeCloseTo(pull(RUBBER).releaseSpeedMPerS, 11);
    expect(one.drawnInJ).toBeCloseTo(pull(RUBBER).drawnInJ, 10);
  });

  it("keeps its shape under a change of units: lengths by a, forces by b, masses by b gives times and angles as they were", () => {
    const level = { ...RUBBER, angleRad: 0 };
    fc.assert(
      fc.property(
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        fc.double({ min: 0.2, max: 5, noNaN: true }),
        (a, b) => {
          const scaled = (table: readonly ForcePoint[]) =>
            table.map(([x, f]): ForcePoint => [a * x, a * b * f]);
          const other = pull({
            ...level,
            loading: scaled(level.loading),
            unloading: scaled(level.unloading!),
            drawM: a * level.drawM,
            lineMassKg: b * level.lineMassKg,
            carriageKg: b * level.carriageKg,
            airframeMassKg: b * level.airframeMassKg,
            slidingN: a * b * level.slidingN,
          });
          const one = pull(level);
          expect(other.pushS / one.pushS).toBeCloseTo(1, 8);
          expect(other.releaseSpeedMPerS / (a * one.releaseSpeedMPerS)).toBeCloseTo(1, 8);
        },
      ),
      { seed: 5, numRuns: 25 },
    );
  });

  it("is faster on the loading curve, which leaves the loss out", () => {
    const bound = pull({ ...RUBBER, unloading: null });
    expect(bound.releaseSpeedMPerS).toBeGreaterThan(pull(RUBBER).releaseSpeedMPerS);
    expect(bound.lostJ).toBe(0);
  });

  it("lets go where the force falls to 0, before the line is back at its length", () => {
    const stretched: readonly ForcePoint[] = [
      [0, 0],
      [0.4, 0],
      [1, 10],
      [3, 40],
    ];
    const shot = pull({ ...SPRING, unloading: stretched, loading: spring(24, 3) });
    expect(shot.travelM).toBeCloseTo(2.1, 12);
    expect(shot.at(shot.pushS).forceN).toBe(0);
  });

  it("finds a greatest force inside the pull", () => {
    const humped: readonly ForcePoint[] = [
      [0, 0],
      [1, 50],
      [2, 30],
      [3, 40],
    ];
    const shot = pull({ ...SPRING, loading: humped });
    expect(shot.peakAccelerationMPerS2).toBeCloseTo(50 / shot.movingMassKg, 9);
    expect(shot.at(shot.peakAccelerationS).positionM).toBeCloseTo(1.5, 7);
  });
});

describe("predictElastic refuses", () => {
  it("a line too weak to start, naming the force and what holds", () => {
    const result = predictElastic({ ...SPRING, slidingN: 70 });
    expect(result).toMatchObject({ ok: false, code: "never-moves", numbers: { forceN: 60, neededN: 70 } });
  });
  it("a pull that ends before the line is slack, naming the place", () => {
    // k x²/2 = 75 J against 31 N over 2.5 m: it stops after 2 (60 − 31)/24 m
    const result = predictElastic({ ...SPRING, slidingN: 31 });
    expect(result).toMatchObject({ ok: false, code: "stops" });
    if (!result.ok) expect(result.numbers.positionM).toBeCloseTo((2 * 29) / 24, 6);
  });
  it("a line that gives back more than it took", () => {
    const result = predictElastic({ ...RUBBER, loading: RUBBER.unloading!, unloading: RUBBER.loading });
    expect(result).toMatchObject({ ok: false, code: "gives-back-more" });
  });
  it.each([
    ["drawM must be at most 6 m, where the loading table ends", { drawM: 6.5 }],
    ["drawM must be at most 2 m, where the unloading table ends", { unloading: spring(5, 2) }],
    [
      "unloading.1.1 must be 0 or more",
      {
        unloading: [
          [0, 0],
          [6, -1],
        ] as const,
      },
    ],
    [
      "loading.0.0 must be 0",
      {
        loading: [
          [0.2, 0],
          [6, 60],
        ] as const,
      },
    ],
    ["airframeMassKg must be above 0", { airframeMassKg: 0 }],
    ["lineMassKg must be 0 or more", { lineMassKg: -0.1 }],
    ["lines must be a whole number", { lines: 1.5 }],
    ["angleRad must be a finite number", { angleRad: Number.NaN }],
  ])("throws RangeError: %s", (message, part) => {
    expect(() => predictElastic({ ...RUBBER, ...part })).toThrow(message);
  });
});

describe("predictElastic with a table point a rounding error from the draw", () => {
  // Half feet as a program, a person and a running sum make metres of them.
  const ways: Readonly<Record<string, (i: number, k: number) => number>> = {
    product: (i) => i * 0.1524,
    "half of a foot": (i) => (i * 0.3048) / 2,
    "rounded to 0.1 mm": (i) => Number((i * 0.1524).toFixed(4)),
    "from the draw down": (i, k) => Math.max(0, (k * 0.3048) / 2 - (k - i) * 0.1524),
    "running sum": (i) => Array.from({ length: i }).reduce<number>((sum) => sum + 0.1524, 0),
  };
  const line = (k: number, at: (i: number, k: number) => number, beyond: number): ElasticInputs => {
    const places = Array.from({ length: k + 1 + beyond }, (_, i) => at(i, k));
    const table = (part: number) => places.map((x, i): ForcePoint => [x, (part * 10 * i) / (1 + 0.02 * i)]);
    return { ...RUBBER, lines: 1, loading: table(1), unloading: table(0.9), drawM: (k * 0.3048) / 2 };
  };
  it.each(Object.entries(ways))("pulls through from every half foot up to 20 ft: %s", (_name, at) => {
    for (let k = 6; k <= 40; k++) {
      const exact = pull(line(k, (i) => (i * 0.3048) / 2, 2)).releaseSpeedMPerS;
      // with points beyond the draw, and where the table ends at it
      for (const beyond of [2, 0]) {
        const speed = pull(line(k, at, beyond)).releaseSpeedMPerS;
        expect(Math.abs(speed / exact - 1), `${k} half feet`).toBeLessThan(beyond === 2 ? 1e-9 : 1e-3);
      }
    }
  });
  it("still refuses a draw beyond the table by more than that", () => {
    const beyond = { ...SPRING, drawM: 3 * (1 + 1e-6) };
    expect(() => predictElastic(beyond)).toThrow("drawM must be at most 3 m");
  });
});
