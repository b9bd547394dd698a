import { describe, expect, it } from "vitest";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import type { RamInputs } from "../../../../src/shared/launch/ram/ram-inputs.ts";
import {
  type MeasuredRam,
  ramInputsOf,
  uncertainInputs,
} from "../../../../src/shared/launch/ram/ram-measured.ts";
import { ramSignatures } from "../../../../src/shared/launchers/ram/ram-signatures.ts";
import type { UnitSet } from "../../../../src/shared/quantity/display.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";

const m = (value: number) => ({ value, u: 0.01 * value });
const RAM: MeasuredRam = {
  tankVolumeM3: m(3e-3),
  gaugePressurePa: m(4e5),
  airPressurePa: m(101325),
  temperatureK: m(293.15),
  boreM: m(0.041),
  strokeM: m(0.6),
  deadVolumeM3: m(40e-6),
  valve: { conductance: m(2e-7), criticalRatio: m(0.3) },
  openingS: m(0.024),
  movingMassKg: m(0.4),
  airframeMassKg: m(1.2),
  angleRad: m(0.17),
  breakawayN: m(24),
  slidingN: m(20),
  viscousNsPerM: m(8),
  rodChamber: {
    rodDiameterM: m(0.016),
    volumeM3: m(30e-6),
    vent: { conductance: m(8e-7), criticalRatio: m(0.35) },
  },
  // each cause is held against whole strokes; an airframe that leaves early has a test of its own
  hold: "latch",
  gas: "adiabatic",
};
const AREA = (Math.PI / 4) * 0.041 ** 2; // m², behind the piston

/**
 * What each cause is to do to the ram, by its size, worked out here: how far it is looked for, and its input
 * when it acts by that much.
 */
type Change = (at: RamInputs, size: number) => Partial<RamInputs>;
const CAUSES: Readonly<Record<string, readonly [sizes: readonly number[], change: Change]>> = {
  // none of its opening time to 16 ms more: a third of 24 ms and twice that
  "valve-opening": [[-0.024, -0.012, 0.008, 0.016], (at, s) => ({ openingS: at.openingS + s })],
  // ln of stated over true: 49 % more air to 45 % less
  "valve-flow": [
    [-0.4, -0.2, 0.25, 0.6],
    (_, s) => ({ valve: { conductance: 2e-7 / Math.exp(s), criticalRatio: 0.3 } }),
  ],
  // from none at all to a fifth of the force of the gas
  friction: [
    [-20, -10, (4e5 * AREA) / 12, (4e5 * AREA) / 5],
    (_, s) => ({ slidingN: 20 + s, breakawayN: Math.max(0, 24 + s) }),
  ],
  "rod-side-vent": [
    [0.4, 0.8, 1.2, 1.8, 2.5],
    ({ rodChamber }, s) => ({
      rodChamber: { ...rodChamber!, vent: { conductance: 8e-7 / Math.exp(s), criticalRatio: 0.35 } },
    }),
  ],
  leak: [[0.08, 0.16, 0.3], (_, s) => ({ leak: s * 2e-7 })],
  "moving-mass": [[-0.48, -0.24, 0.32, 0.64], (_, s) => ({ totalMassKg: 1.6 + s })],
  "tank-pressure": [[-1.2e5, -0.6e5, 0.6e5, 1.2e5], (_, s) => ({ gaugePressurePa: 4e5 - s })],
};
const base = ramInputsOf(
  RAM,
  uncertainInputs(RAM).map(({ value }) => value),
);
const signatures = ramSignatures(RAM, "SI")!;
const exitOf = (inputs: RamInputs) => {
  const { exitS, exitSpeedMPerS } = unwrap(predictRam(inputs));
  return [exitS, exitSpeedMPerS];
};

describe("the causes that a ram's residuals are read for", () => {
  it("are these, each known by the inputs that it is about", () => {
    expect(signatures.causes.map(({ code, inputs }) => [code, inputs])).toEqual([
      ["valve-opening", ["openingS"]],
      ["valve-flow", ["valve.conductance"]],
      ["friction", ["slidingN", "breakawayN"]],
      ["rod-side-vent", ["rodChamber.vent.conductance"]],
      ["leak", ["leak"]],
      ["moving-mass", ["movingMassKg", "airframeMassKg"]],
      ["tank-pressure", ["gaugePressurePa"]],
    ]);
  });

  it.each(Object.entries(CAUSES))(
    "%s acts on the ram as its size says, to either side of none",
    (code, [sizes, change]) => {
      const { family } = signatures.causes.find((one) => one.code === code)!;
      expect(family.map(({ size }) => size)).toEqual(
        [...sizes, 0].sort((a, b) => a - b).map((size) => expect.closeTo(size, 9)),
      );
      for (const { size, motion } of family) {
        const [exitS, speed] = exitOf({ ...base, ...(size === 0 ? {} : change(base, size)) });
        expect(motion.timeS.at(-1)! / exitS!).toBeCloseTo(1, 4);
        expect(motion.speed.at(-1)! / speed!).toBeCloseTo(1, 4);
        expect(motion.position.at(-1)!).toBeCloseTo(0.6, 6);
        expect(motion.timeS).toHaveLength(81);
      }
    },
  );

  it("are the same about a size that was found, reaching no further than they are looked for", () => {
    const friction = signatures.causes.find(({ code }) => code === "friction")!;
    const { stated, family } = friction.around!(30, 20)!;
    expect(family.map(({ size }) => size)).toEqual([10, 30, 50].map((size) => expect.closeTo(size, 9)));
    const [exitS] = exitOf({ ...base, slidingN: 50, breakawayN: 54 });
    expect(stated.motion.timeS.at(-1)! / exitS!).toBeCloseTo(1, 4);
    const most = (4e5 * AREA) / 5;
    expect(friction.around!(100, 50)!.family.at(-1)!.size).toBeCloseTo(most, 9);
    expect(friction.around!(-15, 50)!.family[0]!.size).toBeCloseTo(-20, 9);
  });

  it("hold every uncertain input moved by its u, to the other side where a limit is in the way", () => {
    const names = signatures.stated.inputs.map(({ name }) => name);
    expect(names.length).toBe(uncertainInputs(RAM).length);
    const moved = (ram: MeasuredRam, name: string) =>
      ramSignatures(ram, "SI")!
        .stated.inputs.find((one) => one.name === name)!
        .moved.timeS.at(-1)!;
    const [heavier] = exitOf({ ...base, totalMassKg: 1.612 });
    expect(moved(RAM, "airframeMassKg") / heavier!).toBeCloseTo(1, 5);
    const loose = { ...RAM, valve: { ...RAM.valve, criticalRatio: { value: 0.9, u: 0.2 } } };
    const [lower] = exitOf({ ...base, valve: { conductance: 2e-7, criticalRatio: 0.7 } });
    expect(moved(loose, "valve.criticalRatio") / lower!).toBeCloseTo(1, 5);
    const certain = { ...RAM, slidingN: { value: 20, u: 0 } };
    expect(ramSignatures(certain, "SI")!.stated.inputs.map(({ name }) => name)).not.toContain("slidingN");
  });
});

describe("the clause that names a cause", () => {
  const says = (code: string, value: number, u: number, units: UnitSet = "SI", ram = RAM) => {
    const cause = ramSignatures(ram, units)!.causes.find((one) => one.code === code)!;
    const { size, unit } = cause.shown({ value, u });
    return [cause.words({ value, u }), size.value, unit] as const;
  };

  it("says which way and by how much, never by less than nothing", () => {
    expect(says("valve-opening", 0.0041, 8e-4)[0]).toBe(
      "the valve takes 4.1 ± 0.8 ms longer to open than stated",
    );
    expect(says("valve-opening", -0.0041, 8e-4)[0]).toBe(
      "the valve takes 4.1 ± 0.8 ms less to open than stated",
    );
    expect(says("friction", 12, 2)).toEqual(["friction is 12.0 ± 2.0 N more than stated", 12, "N"]);
    expect(says("friction", -12, 2)[0]).toBe("friction is 12.0 ± 2.0 N less than stated");
    expect(says("moving-mass", 0.2, 0.03)[0]).toMatch(/^0?\.?2\d*.* more than stated is moving$/);
    expect(says("moving-mass", -0.2, 0.03)[0]).toMatch(/ less than stated is moving$/);
    expect(says("tank-pressure", 5e4, 8e3)[0]).toBe("the tank held 0.50 ± 0.08 bar less than read");
    expect(says("tank-pressure", -5e4, 8e3)[0]).toBe("the tank held 0.50 ± 0.08 bar more than read");
    expect(says("tank-pressure", 5e4, 8e3, "field")[0]).toBe("the tank held 7.3 ± 1.2 psi less than read");
  });

  it("gives a flow as the share that is missing: ln 2 is half of it", () => {
    const [words, share, unit] = says("valve-flow", Math.log(2), 0.1);
    expect(words).toBe("the valve passes 50 ± 5 % less air than stated");
    expect([share, unit]).toEqual([expect.closeTo(0.5, 12), "1"]);
    expect(says("valve-flow", -Math.log(1.5), 0.1)[0]).toBe(
      "the valve passes 50 ± 15 % more air than stated",
    );
    expect(says("rod-side-vent", Math.log(4), 0.08)[0]).toBe(
      "the rod side's vent is choked: it passes 75.0 ± 2.0 % less air than stated",
    );
    expect(says("leak", 0.12, 0.02)[0]).toBe(
      "air leaks past the piston, 12.0 ± 2.0 % of what the valve passes",
    );
    const leaky = { ...RAM, leak: { value: 1e-9, u: 1e-10 } };
    expect(says("leak", 0.12, 0.02, "SI", leaky)[0]).toContain("piston, more than stated by 12.0 ± 2.0 %");
  });
});
