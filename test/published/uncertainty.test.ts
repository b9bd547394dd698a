import { describe, expect, it } from "vitest";
import { motionEstimates } from "../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../src/shared/kinematics/motion-fit.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { propagate } from "../../src/shared/uncertainty/propagate.ts";

describe("JCGM 100:2008, law of propagation (5.1.2)", () => {
  // A speed from pixels: v = b f / s, b px a frame, f Hz, s px/m. Figures from
  // tools/reference/uncertainty.py.
  it("gives v = 14.12 m/s with u = 0.04424491 and shares 20.4, 15.9 and 63.7 %", () => {
    const inputs = [
      { name: "b", value: 35.3, u: 0.05 },
      { name: "f", value: 240, u: 0.3 },
      { name: "s", value: 600, u: 1.5 },
    ];
    const result = unwrap(propagate(([b, f, s]) => [(b! * f!) / s!], inputs));
    expect(result.values[0]).toBeCloseTo(14.12, 12);
    expect(result.u[0]).toBeCloseTo(0.04424491, 6);
    const shares = result.parts.map((part) => (100 * part[0]! ** 2) / result.u[0]! ** 2);
    expect(shares[0]).toBeCloseTo(20.4, 1);
    expect(shares[1]).toBeCloseTo(15.9, 1);
    expect(shares[2]).toBeCloseTo(63.7, 1);
  });
});

describe("JCGM 101:2008, 9.2.3: the sum of four rectangular quantities of unit variance", () => {
  it("has the 95 % interval ± 3.88 published there (exact 2√3 [2 − (3/5)^¼] = 3.87940674), over 200 000 seeded draws", () => {
    const chance = createChance(9);
    const n = 200_000;
    const draws = Float64Array.from({ length: n }, () => {
      let sum = 0;
      for (let i = 0; i < 4; i++) sum += Math.sqrt(12) * (chance.uniform() - 0.5);
      return sum;
    }).sort();
    const [low, high] = [draws[Math.round(0.025 * n)]!, draws[Math.round(0.975 * n)]!];
    // four standard errors of a 2.5 % quantile of this density (0.0326 at 3.88): 4 sqrt(0.025 * 0.975 / n) /
    // 0.0326
    const tolerance = (4 * Math.sqrt((0.025 * 0.975) / n)) / 0.0326;
    expect(Math.abs(high - 3.87940674)).toBeLessThan(tolerance);
    expect(Math.abs(low + 3.87940674)).toBeLessThan(tolerance);
  });
});

describe("push to free flight (segmented regression: Hudson, J. Am. Stat. Assoc. 61:1097, 1966)", () => {
  // x = 110 t² - 2500 t³/6 until 0.0517 s, then coasting at 8.0328875 m/s; 480 frames a second; noise n_i =
  // ((7919 (i + 1)) mod 101)/101 - 0.5, mm. The parametric least-squares fit of the true form
  // (tools/reference/differentiation.py) gives 0.05162639 s and 8.02902078 m/s; a window of 15 frames on the
  // release frame gives 7.76 m/s, a quarter of a metre a second low.
  const RELEASE = 0.0517;
  const SPEED = 8.0328875;
  const noise = (i: number) => ((7919 * (i + 1)) % 101) / 101 - 0.5;
  const place = (t: number) => {
    const u = Math.min(t, RELEASE);
    return 110 * u * u - (2500 * u ** 3) / 6 + SPEED * Math.max(0, t - RELEASE);
  };

  it("gives the published speed within its own u, and is not pulled down as a window is", () => {
    const marks = Array.from({ length: 48 }, (_, k) => {
      const timeS = k / 480;
      const x = place(timeS) + 1e-3 * noise(k);
      // The same noise on both points: a pure translation, as the source has it. Gravity is given to the fit,
      // so it is put in.
      const fall = (9.80665 * Math.max(0, timeS - RELEASE) ** 2) / 2;
      return [0.2, -0.2].map((forward, point) => ({
        point,
        frame: k,
        timeS,
        x: x + forward,
        y: -fall,
        u: 0.29e-3,
      }));
    }).flat();
    const axis = { forward: 0, aft: 1, alongM: 0.2, aboveM: 0 };
    const fit = unwrap(fitMotion({ marks, axis, release: { by: "change-point" } }));
    const { speed, releaseS } = motionEstimates(fit);
    expect(Math.abs(speed.value - SPEED)).toBeLessThan(2 * speed.u);
    expect(Math.abs(speed.value - 8.02902078)).toBeLessThan(0.05);
    expect(Math.abs(releaseS.value - RELEASE)).toBeLessThan(2 * releaseS.u);
  });
});
