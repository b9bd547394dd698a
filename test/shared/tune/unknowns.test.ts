import { describe, expect, it } from "vitest";
import type { TunableInput } from "../../../src/shared/launchers/tunable-model.ts";
import type { ShotToTune } from "../../../src/shared/tune/tuned-shot.ts";
import { unitAt, unknownsOf, valueAt } from "../../../src/shared/tune/unknowns.ts";

const input = (name: string, of: TunableInput["of"], value: number, u: number): TunableInput => ({
  ...{ name, of, value, u },
});
const shot = (...inputs: readonly TunableInput[]) =>
  ({ track: { points: [], common: [], releaseS: 0 }, model: { inputs } }) as unknown as ShotToTune;
const FRICTION = input("slidingN", "launcher", 15, 2);
const BORE = input("boreM", "launcher", 0.05, 0);
const gauge = (pa: number) => input("gaugePressurePa", "own", pa, 5e3);
const air = (pa: number, u = 100) => input("airPressurePa", "reading", pa, u);

/** What each unknown of the shots' inputs is, with the shots it is one number for. */
function unknown(shots: readonly ShotToTune[], held: readonly string[] = []) {
  return unknownsOf(shots, new Set(held)).unknowns.flatMap((one) =>
    one.kind === "input" ? [[one.name, one.shots]] : [],
  );
}

describe("the unknowns of a tuning", () => {
  it("are an input of the launcher once for all shots, one that is read for each shot, one of the day by its reading", () => {
    const shots = [
      shot(FRICTION, gauge(4e5), air(101_000)),
      shot(FRICTION, gauge(4e5), air(101_000)),
      shot(FRICTION, gauge(4e5), air(101_300)),
    ];
    expect(unknown(shots)).toEqual([
      ["slidingN", [0, 1, 2]],
      ["gaugePressurePa", [0]],
      ["airPressurePa", [0, 1]],
      ["gaugePressurePa", [1]],
      ["gaugePressurePa", [2]],
      ["airPressurePa", [2]],
    ]);
    // The same value of another barometer, known better, is another reading.
    expect(unknown([shot(air(101_000)), shot(air(101_000, 50))])).toHaveLength(2);
  });

  it("leave out what is known without doubt, and what is held as stated though it is not", () => {
    const shots = [shot(FRICTION, BORE, gauge(4e5))];
    expect(unknown(shots)).toEqual([
      ["slidingN", [0]],
      ["gaugePressurePa", [0]],
    ]);
    expect(unknown(shots, ["slidingN"])).toEqual([["gaugePressurePa", [0]]]);
    expect(unknown(shots, ["boreM"])).toHaveLength(2);
  });

  it("end with where each shot's model begins in its clip, where it rests, what the air takes, and how it runs otherwise", () => {
    const { unknowns, sharedKeys } = unknownsOf([shot(), shot()], new Set());
    expect(unknowns).toEqual(
      [0, 1].flatMap((at) => ["start", "rest", "drag", "speed", "early"].map((kind) => ({ kind, shot: at }))),
    );
    expect(sharedKeys).toEqual([]);
  });
});

describe("a step of an unknown", () => {
  it("is a factor where the input is above 0 and cannot be below, so that no step makes it so", () => {
    const friction = { ...FRICTION, low: 0 };
    expect(valueAt(friction, 0)).toBe(15);
    expect(valueAt(friction, 1)).toBeCloseTo(15 * Math.exp(2 / 15), 12);
    expect(valueAt(friction, -100)).toBeGreaterThan(0);
    expect(valueAt({ ...friction, high: 16 }, 3)).toBe(16);
    expect(unitAt(friction, 1)).toBeCloseTo(2 * Math.exp(2 / 15), 12); // a derivative of the above
    expect(unitAt(friction, 0)).toBe(2);
  });

  it("is a sum where it may be of either sign, held within its limits, and goes beyond one it was stated at", () => {
    const angle = { ...input("angleRad", "launcher", 0.2, 0.05), high: 0.28 };
    expect([-2, 1, 2].map((z) => valueAt(angle, z))).toEqual(
      [0.1, 0.25, 0.28].map((x) => expect.closeTo(x, 12)),
    );
    expect(unitAt(angle, 2)).toBe(0.05);
    const leak = { ...input("leak", "launcher", 0, 1e-9), low: 0 };
    // Of none of something the fit looks to both sides: a limit it stops at would hide how little it knows.
    for (const none of [leak, { ...leak, of: "form" as const }]) {
      expect([-1, 2].map((z) => valueAt(none, z))).toEqual([-1e-9, 2e-9]);
      expect(unitAt(none, -1)).toBe(1e-9);
    }
    const exponent = { ...input("polytropicExponent", "launcher", 1.4, 0.05), low: 1, high: 1.4 };
    expect(valueAt(exponent, 1)).toBeCloseTo(1.45, 12);
    const below = { ...input("angleRad", "launcher", -0.2, 0.05), low: -0.25 };
    expect(valueAt(below, -3)).toBe(-0.25);
  });
});
