import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type PushPitchInputs, pushPitch } from "../../src/shared/launch/ram/push-pitch.ts";

/*
 * How an airframe pitches under a push that is given: scipy's solve_ivp on the equations of a rigid body, by
 * tools/reference/push_pitch.py, which shares no code with the product; and closed forms worked by hand.
 */
interface Case {
  readonly name: string;
  readonly inputs: Readonly<Record<"A" | "T" | "p" | "S" | "m" | "I" | "deg" | "e" | "k" | "c", number>> & {
    readonly tip: { readonly travel: number; readonly behind: number } | null;
  };
  readonly travel: number;
  readonly pitch: number;
  readonly rate: number;
}

const CASES: readonly Case[] = JSON.parse(readFileSync(new URL("push-pitch.json", import.meta.url), "utf8"));

/**
 * a(t) = A x exp(1 − x), x = t/T, with p = 1, and its travel: A e T² [x + 2 e⁻ˣ + x e⁻ˣ − 2] integrated
 * twice.
 */
function push({ A, T }: Case["inputs"]) {
  return (timeS: number) => {
    const x = timeS / T;
    return {
      accelerationMPerS2: A * x * Math.exp(1 - x),
      positionM: A * Math.E * T * T * (x - 2 + (x + 2) * Math.exp(-x)),
    };
  };
}

function seatOf({ m, I, deg, e, k, c, tip }: Case["inputs"]): PushPitchInputs {
  return {
    airframeMassKg: m,
    pitchInertiaKgM2: I,
    angleRad: (deg * Math.PI) / 180,
    pushBelowM: e,
    cradleStiffness: k,
    cradleDamping: c,
    tipOff: tip && { travelM: tip.travel, behindM: tip.behind },
  };
}

describe.each(CASES)("pitch during the push, $name", ({ inputs, travel, pitch, rate }) => {
  it("ends as in the reference: 1e-4 of the rate, or of what a free airframe would get", () => {
    const at = push(inputs);
    expect(at(inputs.S).positionM).toBeCloseTo(travel, 9);
    const last = pushPitch(seatOf(inputs), at, 0, inputs.S, travel).at(-1)!;
    // steps of 1/800 of the push, over which the load is taken as linear
    const free = (inputs.m * Math.abs(inputs.e) * inputs.A * inputs.T * Math.E) / inputs.I;
    expect(last.timeS).toBeCloseTo(inputs.S, 12);
    expect(Math.abs(last.rateRadPerS - rate)).toBeLessThan(1e-4 * free);
    expect(Math.abs(last.pitchRad - pitch)).toBeLessThan(1e-4 * free * inputs.S);
  });
});

describe("pushPitch", () => {
  const seat = (part: Partial<PushPitchInputs>): PushPitchInputs => ({
    airframeMassKg: 0.5,
    pitchInertiaKgM2: 0.01,
    angleRad: 0,
    pushBelowM: 0.002,
    cradleStiffness: 0,
    cradleDamping: 0,
    tipOff: null,
    ...part,
  });
  const steady = (timeS: number) => ({ accelerationMPerS2: 100, positionM: 50 * timeS * timeS });

  it("turns a free airframe by M t/I under a steady push, nose up where the push passes below: 1 rad/s in 0.1 s", () => {
    const at = (pushBelowM: number) => pushPitch(seat({ pushBelowM }), steady, 0, 0.1, 0.5).at(-1)!;
    expect(at(0.002).rateRadPerS).toBeCloseTo((0.5 * 100 * 0.002 * 0.1) / 0.01, 12);
    expect(at(-0.002).rateRadPerS).toBeCloseTo(-1, 12);
    expect(at(0).rateRadPerS).toBe(0);
  });

  it("gives the step response of a damped oscillator: M/(I ω_d) e^(−ζωt) sin ω_d t", () => {
    // Textbook: W. T. Thomson, Theory of Vibration with Applications, response to a step; from memory.
    const [k, c, inertia] = [25, 0.1, 0.01];
    const [decay, w] = [c / (2 * inertia), Math.sqrt(k / inertia - (c / (2 * inertia)) ** 2)];
    for (const { timeS, rateRadPerS } of pushPitch(
      seat({ cradleStiffness: k, cradleDamping: c }),
      steady,
      0,
      0.1,
      0.5,
    )) {
      const rate = ((0.1 / (inertia * w)) * Math.sin(w * timeS)) / Math.exp(decay * timeS);
      expect(rateRadPerS).toBeCloseTo(rate, 10);
    }
  });

  it("tips nose down by g d/(d² + I/m) in each second over a support behind the balance point, up over one ahead", () => {
    const over = (behindM: number) =>
      pushPitch(seat({ pushBelowM: 0, tipOff: { travelM: 0.18, behindM } }), steady, 0, 0.1, 0.5).at(-1)!;
    const t = 0.1 - Math.sqrt(0.32 / 50);
    expect(over(0.05).rateRadPerS).toBeCloseTo((-9.80665 * 0.05 * t) / (0.05 ** 2 + 0.01 / 0.5), 9);
    expect(over(-0.05).rateRadPerS).toBeCloseTo(-over(0.05).rateRadPerS, 12);
  });

  it("has nothing to tip where the airframe leaves before the last support is alone", () => {
    const early = pushPitch(seat({ tipOff: { travelM: 0.1, behindM: 0.05 } }), steady, 0, 0.05, 0.5).at(-1)!;
    expect(early.rateRadPerS).toBeCloseTo(0.5, 9);
  });
});
