import { describe, expect, it } from "vitest";
import { inputAtPath } from "../../../src/shared/inputs/all-inputs.ts";
import type { Input } from "../../../src/shared/inputs/input.ts";
import {
  judgedWords,
  judgeInput,
  oddness,
  valueText,
  wordsAt,
} from "../../../src/shared/inputs/judge-input.ts";
import { slipsOf } from "../../../src/shared/inputs/unit-slips.ts";
import type { UnitSet } from "../../../src/shared/quantity/display.ts";

const ram = (path: string) => inputAtPath(path, "compressed-air-ram") as Input;
const any = (path: string) => inputAtPath(path, null) as Input;

function says(
  input: Input,
  value: number,
  u: number | null = null,
  set: UnitSet = "SI",
  words = input.words,
) {
  const judged = judgeInput(input, value, u);
  if (judged === null) return null;
  const { cause, slip } = judgedWords(input, judged, value, u, set, words);
  return `${judged.state}: ${cause}${slip === "" ? "" : ` ${slip}`}`;
}

describe("judgeInput", () => {
  const conductance = ram("launcher.valve.conductance");

  it("lets a usual number pass, both ends of the plausible range included", () => {
    expect(judgeInput(conductance, 15.66e-8, 1e-8)).toBeNull();
    for (const end of conductance.plausible) expect(judgeInput(conductance, end, 0)).toBeNull();
  });

  it("tells what is odd from what cannot be, of the value before the uncertainty", () => {
    expect(judgeInput(conductance, 1e-5, 0)).toEqual({ state: "odd", part: "value" });
    expect(judgeInput(conductance, 1e-3, 0)).toEqual({ state: "impossible", part: "value" });
    expect(judgeInput(conductance, 1e-5, 1)).toEqual({ state: "impossible", part: "u" });
    expect(judgeInput(conductance, 1e-7, 1e-5)).toEqual({ state: "odd", part: "u" });
    expect(judgeInput(conductance, 1e-7, -1e-9)).toEqual({ state: "impossible", part: "u" });
    expect(judgeInput(conductance, Number.NaN, 0)).toEqual({ state: "impossible", part: "value" });
  });
});

describe("judgedWords", () => {
  it("names the number, the range and the likely slip, in the unit a person types in", () => {
    expect(says(ram("launcher.valve.conductance"), 15660e-8)).toBe(
      "impossible: 15660 dm³/(s·bar) cannot be the valve's sonic conductance (0.0001 to 2000 dm³/(s·bar)). " +
        "Was it typed in cm³/(s·bar) or L/(min·bar)? Then it is 15.66 dm³/(s·bar) or 261 dm³/(s·bar).",
    );
    expect(says(ram("launcher.valve.conductance"), 1566e-8)).toMatch(
      /^odd: 1566 dm³\/\(s·bar\) is far outside what is usual for the valve's sonic conductance \(0\.05 to 500 dm³\/\(s·bar\)\)\. Was/,
    );
  });

  it("says the same in field units where those are typed", () => {
    const pressure = any("shots[].conditions.gaugePressurePa");
    expect(says(pressure, 50 * 6894.757293168361 * 1e3, null, "field")).toMatch(
      /^impossible: 50000 psi cannot be/,
    );
    expect(valueText(any("airframe.massKg"), 0.45359237, "field")).toBe("1 lb");
  });

  it("says of an uncertainty how large it can be", () => {
    expect(says(ram("launcher.boreM"), 0.04, 0.5)).toBe(
      "odd: An uncertainty of the bore of 500 mm is far outside what is usual (at most 296 mm).",
    );
  });

  it("leaves the words out where a label says them already", () => {
    expect(says(ram("launcher.boreM"), 40, null, "SI", "")).toBe(
      "impossible: 40000 mm is not possible here (0.5 to 1000 mm).",
    );
  });

  it("shows an exposure as a share of a second", () => {
    expect(says(any("cameras[].exposureS"), 0.1)).toBe(
      "odd: 1/10 s is far outside what is usual for the exposure of a frame (1/10000000 s to 1/20 s).",
    );
  });
});

describe("slipsOf", () => {
  it.each<readonly [string, Input, number, readonly (readonly [string, number])[]]>([
    ["Pa for bar", any("shots[].conditions.gaugePressurePa"), 350_000e5, [["Pa", 350_000]]],
    ["psi for bar", any("shots[].conditions.gaugePressurePa"), 1000e5, [["psi", 1000 * 6894.757293168361]]],
    ["kelvin for °C", any("shots[].conditions.temperatureK"), 288 + 273.15, [["K", 288]]],
    ["°F for °C", any("shots[].conditions.temperatureK"), 95 + 273.15, [["°F", 308.15]]],
    [
      "mm for m",
      any("shots[].setting.distanceM"),
      6500,
      [
        ["mm", 6.5],
        ["cm", 65],
      ],
    ],
    ["grams for kg", any("airframe.massKg"), 662, [["g", 0.662]]],
    ["radians for degrees", ram("launcher.angleRad"), (0.41 * Math.PI) / 180, []],
    ["seconds for ms is odd only where 0 is not usual", any("shots[].lamp.intervalS"), 2e-8, []],
    ["kg·m² for g·m²", any("airframe.pitchInertiaKgM2"), 1.21e-8, [["kg·m²", 1.21e-5]]],
  ])("finds %s", (_, input, si, wanted) => {
    const found = slipsOf(input, si, "SI").map((slip) => [slip.symbol, slip.si] as const);
    for (const [symbol, meant] of wanted) {
      expect(found.find(([one]) => one === symbol)?.[1]).toBeCloseTo(meant, 6);
    }
  });

  it("gives no slip whose value would be as odd, and never the unit that is meant", () => {
    for (const input of [ram("launcher.boreM"), any("airframe.massKg"), ram("launcher.openingS")]) {
      for (const si of [1e-9, 1e-3, 1, 1e3, 1e6]) {
        for (const slip of slipsOf(input, si, "SI")) {
          expect(slip.si).toBeGreaterThanOrEqual(input.plausible[0]);
          expect(slip.si).toBeLessThanOrEqual(input.plausible[1]);
          expect(slip.si).not.toBe(si);
        }
      }
    }
  });
});

describe("oddness", () => {
  it("is 1 at the ends of the plausible range, 0 in its middle, and grows outside, by ratio where it is positive", () => {
    const bore = ram("launcher.boreM");
    const [least, most] = bore.plausible;
    expect(oddness(bore, least)).toBeCloseTo(1, 12);
    expect(oddness(bore, most)).toBeCloseTo(1, 12);
    expect(oddness(bore, Math.sqrt(least * most))).toBeCloseTo(0, 12);
    expect(oddness(bore, 1)).toBeGreaterThan(oddness(bore, 0.5));
    const angle = ram("launcher.angleRad");
    expect(oddness(angle, angle.plausible[1])).toBeCloseTo(1, 12);
    expect(oddness(ram("launcher.slidingN"), 0)).toBe(0);
  });
});

describe("wordsAt", () => {
  it("names the entry of a list by its number, but not the shot or the camera", () => {
    const rocket = (path: string) => inputAtPath(path, "rocket-boost") as Input;
    expect(wordsAt(rocket("launcher.motors[].tiltUpRad"), ["launcher", "motors", 1, "tiltUpRad"])).toBe(
      "the upward tilt of motor 2",
    );
    expect(
      wordsAt(rocket("launcher.motors[].thrust.points[][1]"), [
        "launcher",
        "motors",
        0,
        "thrust",
        "points",
        4,
        1,
      ]),
    ).toBe("the thrust at point 5 of the thrust curve of motor 1");
    expect(wordsAt(any("shots[].scale.rodM"), ["shots", 4, "scale", "rodM"])).toBe("the length of the rod");
  });
});
