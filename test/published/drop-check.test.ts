import { describe, expect, it } from "vitest";
import { dragRatio, terminalSpeed } from "../../src/shared/clock/drag-fall.ts";
import { dropCheck } from "../../src/shared/clock/drop-check.ts";
import { localGravity } from "../../src/shared/clock/local-gravity.ts";
import { STANDARD_GRAVITY } from "../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

const exact = (value: number) => ({ value, u: 0 });

// NIMA TR8350.2 (WGS 84), eq. 4-1, computed from the constants printed there by tools/reference/time_base.py.
it.each([
  [0, 0, 9.7803253],
  [30, 0, 9.7932473],
  [45, 0, 9.8061978],
  [52, 0, 9.8124741],
  [90, 0, 9.8321849],
  [45, 1000, 9.8031118],
])("localGravity at %d° and %d m is %d m/s²", (degrees, height, g) => {
  expect(localGravity((degrees * Math.PI) / 180, height).value).toBeCloseTo(g, 7);
});

describe("dragRatio: a parabola fitted to a 1.5 m fall in air of 1.2 kg/m³ (J. R. Taylor, Classical Mechanics, 2.4; numpy polyfit)", () => {
  it.each([
    ["tennis ball", 0.058, 0.067, 0.5, 23.189637714594173, 0.98446225],
    ["25.4 mm steel ball", 0.066, 0.0254, 0.47, 67.30217416001398, 0.99814538],
    ["table-tennis ball", 0.0027, 0.04, 0.47, 8.643959705091211, 0.89242565],
  ])("%s", (_, mass, diameter, cd, terminal, ratio) => {
    const ball = {
      massKg: exact(mass),
      diameterM: exact(diameter),
      dragCoefficient: exact(cd),
      airDensity: exact(1.2),
    };
    const g = STANDARD_GRAVITY;
    expect(terminalSpeed(ball, g).value).toBeCloseTo(terminal, 10);
    const fallS = (terminal / g) * Math.acosh(Math.exp((g * 1.5) / terminal ** 2));
    const times = Array.from({ length: 2001 }, (_, i) => (fallS * i) / 2000);
    expect(
      dragRatio(
        ball,
        g,
        times,
        times.map(() => 1),
      ).value,
    ).toBeCloseTo(ratio, 8);
  });
});

describe("dropCheck: 1.5 m at 240 frames/s, 500 px/m, g = 9.81 m/s², 133 frames (derived)", () => {
  const A = (9.81 * 500) / 240 ** 2;
  // Repeatable noise of half a pixel either way: ((7919 (k + 1)) mod 101)/101 - 0.5.
  const noisy = Array.from({ length: 133 }, (_, k) => ({
    frame: k,
    x: 0,
    y: 120 + 3 * k + 0.5 * A * k ** 2 + ((7919 * (k + 1)) % 101) / 101 - 0.5,
    u: 0.5,
  }));
  const input = { marks: noisy, scale: exact(0.002), gravity: exact(9.81), ball: null, plumbRad: 0 };

  it("finds the parabola and rate that numpy polyfit finds", () => {
    const drop = unwrap(dropCheck(input));
    expect(A).toBe(0.08515625);
    expect(drop.fallPxPerFrame2.value).toBeCloseTo(0.08516851131, 11);
    expect(drop.captureRateHz.value).toBeCloseTo(239.98272354, 8);
    expect(drop.fit.rmsPx).toBeCloseTo(0.28833782, 8);
  });

  it("gives u(f)/f = 0.00038621 from marks good to 0.5 px, 0.00107315 with u(s)/s = 0.2 % and u(g)/g = 1e-4", () => {
    const N = 133;
    const formula = 0.5 * Math.sqrt(720 / (N * (N ** 2 - 1) * (N ** 2 - 4)));
    const clean = noisy.map(({ frame }) => ({
      frame,
      x: 0,
      y: 120 + 3 * frame + 0.5 * A * frame ** 2,
      u: 0.5,
    }));
    const alone = unwrap(dropCheck({ ...input, marks: clean }));
    expect(alone.fallPxPerFrame2.u).toBeCloseTo(formula, 12);
    expect(alone.captureRateHz.u / alone.captureRateHz.value).toBeCloseTo(0.00038621, 8);
    const scale = { value: 0.002, u: 0.002 * 0.002 };
    const all = unwrap(dropCheck({ ...input, marks: clean, scale, gravity: { value: 9.81, u: 9.81e-4 } }));
    expect(all.captureRateHz.value).toBeCloseTo(240, 8);
    expect(all.captureRateHz.u / all.captureRateHz.value).toBeCloseTo(0.00107315, 8);
  });
});
