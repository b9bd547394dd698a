import { describe, expect, it } from "vitest";
import { type FlightInputs, flyAfterRelease } from "../../src/shared/launch/flight.ts";
import { stallSpeed } from "../../src/shared/launch/stall.ts";
import { STANDARD_GRAVITY as G } from "../../src/shared/quantity/gravity.ts";

const BALL: FlightInputs = {
  massKg: 0.25,
  speedMPerS: 0,
  angleRad: 0,
  airDensity: 1.225,
  headwindMPerS: 0,
  dragAreaM2: 0,
  liftAreaM2: 0,
};
const times = (end: number, n = 8) => Array.from({ length: n + 1 }, (_, i) => (end * i) / n);

/** Drag area that gives a terminal speed: C_dA = 2 m g/(ρ v_t²). */
function dragFor(terminal: number): number {
  return (2 * BALL.massKg * G) / (BALL.airDensity * terminal ** 2);
}

describe("free fall", () => {
  it("flyAfterRelease from rest without air falls ½gt² (Galileo; g = 9.80665 m/s², 3rd CGPM 1901)", () => {
    for (const { timeS, x, y, vy } of flyAfterRelease(BALL, times(2))) {
      expect(x).toBeCloseTo(0, 12);
      expect(y).toBeCloseTo(-0.5 * G * timeS ** 2, 9);
      expect(vy).toBeCloseTo(-G * timeS, 9);
    }
  });

  it("flyAfterRelease of a throw without air is the parabola", () => {
    const thrown = { ...BALL, speedMPerS: 14.2, angleRad: 0.3 };
    for (const { timeS, x, y } of flyAfterRelease(thrown, times(1.5))) {
      expect(x).toBeCloseTo(14.2 * Math.cos(0.3) * timeS, 9);
      expect(y).toBeCloseTo(14.2 * Math.sin(0.3) * timeS - 0.5 * G * timeS ** 2, 9);
    }
  });

  // Fall with quadratic drag, standard mechanics text (e.g. J. R. Taylor, Classical Mechanics, 2.4):
  // v = v_t tanh(g t/v_t), drop = (v_t²/g) ln cosh(g t/v_t).
  it("flyAfterRelease from rest in air approaches the terminal speed as tanh", () => {
    const terminal = 17.3;
    for (const { timeS, y, vy } of flyAfterRelease({ ...BALL, dragAreaM2: dragFor(terminal) }, times(6))) {
      expect(vy).toBeCloseTo(-terminal * Math.tanh((G * timeS) / terminal), 8);
      expect(y).toBeCloseTo((-(terminal ** 2) / G) * Math.log(Math.cosh((G * timeS) / terminal)), 8);
    }
  });

  // Vertical shot with quadratic drag: h = (v_t²/2g) ln(1 + v0²/v_t²), t_up = (v_t/g)
  // atan(v0/v_t); the same text.
  it.each([
    [50, 60, 96.7954262, 4.2506153],
    [60, 80, 145.627582, 5.2495081],
  ])(
    "flyAfterRelease straight up at %d m/s with terminal speed %d m/s tops out at %d m",
    (v0, terminal, height, timeS) => {
      const shot = { ...BALL, speedMPerS: v0, angleRad: Math.PI / 2, dragAreaM2: dragFor(terminal) };
      const [top] = flyAfterRelease(shot, [timeS]);
      expect(top!.y).toBeCloseTo(height, 6);
      // the time is printed to 7 digits; g times half the last is 5e-7
      expect(Math.abs(top!.vy)).toBeLessThan(1e-6);
    },
  );
});

// Lift equation in level flight, V_s = √(2 n m g/(ρ S C_Lmax)), e.g. J. D. Anderson,
// Introduction to Flight, 6.6.
it.each([
  [1, 1.225, 8.358562],
  [1.5, 1.225, 10.2371059],
  [2, 1.225, 11.8207917],
  [1, 1.112, 8.7729816],
])("stallSpeed of 1.2 kg on 0.25 m² at n = %d, %d kg/m³ is %d m/s", (loadFactor, airDensity, speed) => {
  const wing = { massKg: 1.2, wingAreaM2: 0.25, liftCoefficientMax: 1.1 };
  expect(stallSpeed({ ...wing, airDensity, loadFactor })).toBeCloseTo(speed, 6);
});
