import { describe, expect, it } from "vitest";
import { TRUE_RAM } from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { EXAMPLE_SHOT_ID } from "../../../src/main/example/example-truth.ts";
import type { CauseFamily, SeenPush } from "../../../src/shared/compare/cause-fit.ts";
import { type ModelMotion, modelStateAt } from "../../../src/shared/compare/model-motion.ts";
import { readResidual } from "../../../src/shared/compare/read-residual.ts";
import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import type { RamInputs } from "../../../src/shared/launch/ram/ram-inputs.ts";
import {
  type MeasuredRam,
  ramInputsOf,
  uncertainInputs,
} from "../../../src/shared/launch/ram/ram-measured.ts";
import { ramSignatures } from "../../../src/shared/launchers/ram/ram-signatures.ts";
import type { ResidualSignatures } from "../../../src/shared/launchers/residual-signatures.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { createMeasurer } from "../../../src/shared/measure/measurer.ts";
import { type Chance, createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { RamLauncher, Session } from "../../../src/shared/session/schema.ts";
import { jointInputs } from "../../../src/shared/uncertainty/joint-inputs.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

const m = (value: number, u: number) => ({ value, u });

/** A ram with a vented rod side, every input measured with care. */
const RAM: MeasuredRam = {
  tankVolumeM3: m(3.6e-3, 1e-5),
  gaugePressurePa: m(350_000, 600),
  airPressurePa: m(100_900, 60),
  temperatureK: m(287.6, 0.3),
  boreM: m(0.036, 1.5e-5),
  strokeM: m(0.78, 3e-4),
  deadVolumeM3: m(1.5e-4, 3e-6),
  valve: { conductance: m(1.45e-7, 1.2e-9), criticalRatio: m(0.3, 0.01) },
  openingS: m(0.03, 6e-4),
  movingMassKg: m(0.6, 6e-4),
  airframeMassKg: m(0.66, 6e-4),
  angleRad: m(0.408, 1.2e-3),
  breakawayN: m(30, 1),
  slidingN: m(22, 0.6),
  viscousNsPerM: m(6, 0.15),
  rodChamber: {
    rodDiameterM: m(0.012, 3e-5),
    volumeM3: m(5e-5, 1.5e-6),
    vent: { conductance: m(6e-7, 1e-8), criticalRatio: m(0.3, 0.01) },
  },
  gas: "adiabatic",
};
const MARK_M = 4e-4; // 0.3 px at 1.3 mm/px
const SCALE_U = 6e-4;
const RATE_U = 2e-4;

const signatures = ramSignatures(RAM, "SI")!;
const list = uncertainInputs(RAM);
const read = (seen: SeenPush) => readResidual(seen, signatures.stated, signatures.causes);

/** The shot's true inputs: each stated one off by its own u times a normal number. */
function trueInputs(chance: Chance): RamInputs {
  return ramInputsOf(
    RAM,
    list.map(({ value, u }) => value + u * chance.normal()),
  );
}

/**
 * The model's own motion as marks see it: from 20 ms before the valve opens to release, scale
 * and clock off by their u.
 */
function filmed(inputs: RamInputs, rate: number, chance: Chance, sd = MARK_M): SeenPush {
  const { exitS, at } = unwrap(predictRam(inputs));
  const [scale, stretch, phase] = [
    1 + SCALE_U * chance.normal(),
    1 + RATE_U * chance.normal(),
    chance.uniform(),
  ];
  const times: number[] = [];
  for (let k = Math.ceil(-0.02 * rate); (k + phase) / rate <= exitS; k++) times.push((k + phase) / rate);
  return {
    timeS: times.map((t) => (t - exitS) * stretch),
    positionM: times.map((t) => scale * (t > 0 ? at(t).positionM : 0) + sd * chance.normal()),
    u: times.map(() => sd),
    scaleU: SCALE_U,
    rateU: RATE_U,
    valveS: null,
  };
}

interface AtPlay {
  readonly code: string;
  readonly change: (inputs: RamInputs) => RamInputs;
  /** How far the true inputs are from the stated ones, in the cause's own unit. */
  readonly sizeOf: (inputs: RamInputs) => number;
}

const share = (truth: number, stated: number) => 1 - truth / stated;
const AT_PLAY: readonly AtPlay[] = [
  {
    code: "valve-opening",
    change: (now) => ({ ...now, openingS: now.openingS + 0.015 }),
    sizeOf: ({ openingS }) => openingS - RAM.openingS.value,
  },
  {
    code: "valve-flow",
    change: (now) => ({ ...now, valve: { ...now.valve, conductance: 0.75 * now.valve.conductance } }),
    sizeOf: ({ valve }) => share(valve.conductance, RAM.valve.conductance.value),
  },
  {
    code: "friction",
    change: (now) => ({ ...now, slidingN: now.slidingN + 35, breakawayN: now.breakawayN + 35 }),
    sizeOf: ({ slidingN }) => slidingN - RAM.slidingN.value,
  },
  {
    code: "rod-side-vent",
    change: (now) => ({
      ...now,
      rodChamber: now.rodChamber && {
        ...now.rodChamber,
        vent: { ...now.rodChamber.vent, conductance: 0.25 * now.rodChamber.vent.conductance },
      },
    }),
    sizeOf: ({ rodChamber }) => share(rodChamber!.vent.conductance, RAM.rodChamber!.vent.conductance.value),
  },
  {
    code: "leak",
    change: (now) => ({ ...now, leak: 0.18 * RAM.valve.conductance.value }),
    sizeOf: ({ leak = 0 }) => leak / RAM.valve.conductance.value,
  },
  {
    code: "moving-mass",
    change: (now) => ({ ...now, totalMassKg: now.totalMassKg + 0.24 }),
    sizeOf: ({ totalMassKg }) => totalMassKg - RAM.movingMassKg.value - RAM.airframeMassKg.value,
  },
  {
    code: "tank-pressure",
    change: (now) => ({ ...now, gaugePressurePa: now.gaugePressurePa - 40_000 }),
    sizeOf: ({ gaugePressurePa }) => RAM.gaugePressurePa.value - gaugePressurePa,
  },
];

describe("ramSignatures", () => {
  it("has a family for every cause, each with size 0, and one moved motion for every uncertain input", () => {
    expect(signatures.causes.map(({ code }) => code)).toEqual(AT_PLAY.map(({ code }) => code));
    expect(signatures.stated.inputs.map(({ name }) => name)).toEqual(list.map(({ name }) => name));
    for (const { family } of signatures.causes)
      expect(family.filter(({ size }) => size === 0)).toHaveLength(1);
  });

  it("offers no choked vent where the rod side is open to the air, and nothing where the ram does not launch", () => {
    const open = ramSignatures({ ...RAM, rodChamber: null }, "SI")!;
    expect(open.causes.map(({ code }) => code)).not.toContain("rod-side-vent");
    expect(ramSignatures({ ...RAM, gaugePressurePa: m(10_000, 100) }, "SI")).toBeNull();
  });

  it("takes inputs that were tuned together by their directions, so that what they cancel is no doubt, and says tuned", () => {
    const u = [4e-9, 4000];
    const names = ["valve.conductance", "gaugePressurePa"];
    const alone = ramSignatures({ ...RAM, ...loose(u) }, "SI")!;
    const joint = jointInputs(names, u, [
      [1, -0.995],
      [-0.995, 1],
    ]);
    const together = ramSignatures({ ...RAM, ...loose(u) }, "SI", joint)!;
    const end = (one: ModelMotion) => one.speed.at(-1)!;
    const spread = ({ stated }: ResidualSignatures, counts: (name: string) => boolean) =>
      Math.hypot(
        ...stated.inputs
          .filter(({ name }) => counts(name))
          .map(({ moved }) => end(moved) - end(stated.motion)),
      );
    const apart = spread(alone, (name) => names.includes(name));
    expect(spread(together, (name) => name.startsWith("joint"))).toBeLessThan(0.5 * apart);
    expect(together.stated.inputs.some(({ name }) => names.includes(name))).toBe(false);
    const size = { value: 0.01, u: 0.001 };
    expect(together.causes[0]!.words(size)).toBe("the valve takes 10.0 ± 1.0 ms longer to open than tuned");
    expect(alone.causes[0]!.words(size)).toBe("the valve takes 10.0 ± 1.0 ms longer to open than stated");
  });

  it("follows the model between its sizes to 0.7 of a mark's scatter, and about the size found to a twentieth of it", () => {
    const base = ramInputsOf(
      RAM,
      list.map(({ value }) => value),
    );
    const inFamily: Partial<Record<string, number>> = {
      "valve-flow": -Math.log(0.75),
      "rod-side-vent": -Math.log(0.25),
    };
    for (const { code, change, sizeOf } of AT_PLAY) {
      const truth = unwrap(predictRam(change(base)));
      const cause = signatures.causes.find((one) => one.code === code)!;
      const size = inFamily[code] ?? sizeOf(change(base));
      const anew = cause.around!(0.9 * size, 0.15 * size)!.family;
      for (let i = 1; i <= 20; i++) {
        const t = (truth.exitS * i) / 20;
        const off = (family: CauseFamily) => Math.abs(between(family, size, t) - truth.at(t).positionM);
        expect(off(cause.family), `${code} at ${t} s`).toBeLessThan(0.7 * MARK_M);
        expect(off(anew), `${code} anew at ${t} s`).toBeLessThan(MARK_M / 20);
      }
    }
  });
});

function loose([conductance, pressure]: readonly number[]): Partial<MeasuredRam> {
  return {
    valve: { ...RAM.valve, conductance: m(RAM.valve.conductance.value, conductance!) },
    gaugePressurePa: m(RAM.gaugePressurePa.value, pressure!),
  };
}

/** Lagrange's interpolation among the members of a family, member by member. */
function between(family: CauseFamily, size: number, t: number): number {
  return family.reduce((sum, { size: own, motion }) => {
    const others = family.filter((one) => one.size !== own);
    const part = others.reduce((product, { size: other }) => (product * (size - other)) / (own - other), 1);
    return sum + part * modelStateAt(motion, t).position;
  }, 0);
}

describe("readResidual of rams whose inputs are off within their u, marks of 0.4 mm (0.3 px)", () => {
  it.each(AT_PLAY)(
    "names $code in at least seven of eight seeded shots at 480 and 960 frames/s, another cause in none",
    ({ code, change, sizeOf }) => {
      let named = 0;
      for (let seed = 0; seed < 8; seed++) {
        const rate = seed % 2 === 0 ? 480 : 960;
        const chance = createChance(1000 * rate + seed);
        const inputs = change(trueInputs(chance));
        const reading = read(filmed(inputs, rate, chance));
        const own = reading.causes.find((one) => one.code === code);
        if (reading.causes.length > 0) expect(own, `seed ${seed}: ${reading.text}`).toBeDefined();
        if (own === undefined) continue;
        named++;
        expect(reading.text).toContain(own.words);
        expect(Math.abs(own.size.value - sizeOf(inputs)), `seed ${seed}`).toBeLessThan(3.5 * own.size.u);
      }
      expect(named).toBeGreaterThanOrEqual(7);
    },
  );

  it("names a cause where there is none in under 5 of 100 seeded shots", () => {
    let named = 0;
    for (let seed = 0; seed < 100; seed++) {
      const chance = createChance(seed);
      if (read(filmed(trueInputs(chance), seed % 2 === 0 ? 480 : 960, chance)).causes.length > 0) named++;
    }
    expect(named).toBeLessThan(5);
  });

  it("names nothing where the marks are as rough as the difference", () => {
    for (const { change } of AT_PLAY) {
      const chance = createChance(5);
      const reading = read(filmed(change(trueInputs(chance)), 480, chance, 0.04));
      expect(reading.causes).toEqual([]);
    }
  });

  it("says it in the units of the person: bar or psi", () => {
    const chance = createChance(11);
    const lower = filmed({ ...trueInputs(chance), gaugePressurePa: 300_000 }, 960, chance);
    const field = ramSignatures(RAM, "field")!;
    expect(read(lower).text).toMatch(/the tank held 0\.\d+ ± 0\.\d+ bar less than read/);
    expect(readResidual(lower, field.stated, field.causes).text).toMatch(
      /the tank held \d\.\d+ ± 0\.\d+ psi less than read/,
    );
  });
});

describe("measureShot of the example launch", () => {
  /** The example with its launcher stated as it truly is, to within small u, but for what `wrong` says. */
  function stated(wrong: Partial<RamLauncher>): Session {
    const session = exampleSession(4);
    const { valve, openingS, breakawayN, slidingN, viscousNsPerM, deadVolumeM3, tankVolumeM3, strokeM } =
      TRUE_RAM;
    const about = (value: number) => ({ value, u: 0.003 * value });
    const launcher: RamLauncher = {
      ...(firstOf(session).launcher as RamLauncher),
      tankVolumeM3: about(tankVolumeM3),
      deadVolumeM3: about(deadVolumeM3),
      strokeM: { value: strokeM, u: 5e-4 },
      valve: { conductance: about(valve.conductance), criticalRatio: about(valve.criticalRatio) },
      openingS: about(openingS),
      breakawayN: about(breakawayN),
      slidingN: about(slidingN),
      viscousNsPerM: about(viscousNsPerM),
      ...wrong,
    };
    const shots = session.shots.map((shot) => ({
      ...shot,
      conditions: { ...shot.conditions, gaugePressurePa: about(TRUE_RAM.gaugePressurePa) },
    }));
    return oneOfEach({ ...session, launcher, shots });
  }
  const comparisonOf = (session: Session) => measureShot(session, EXAMPLE_SHOT_ID, null).comparison!;

  it("finds nothing to name with the launcher as it is", () => {
    expect(comparisonOf(stated({})).reading).toMatchObject({ outcome: "agrees", causes: [] });
  });

  it("names the valve that opens more slowly than was stated, by how much, and keeps it while a mark is dragged", () => {
    const session = stated({ openingS: { value: TRUE_RAM.openingS - 0.02, u: 3e-4 } });
    const { reading } = comparisonOf(session);
    expect(reading!.causes.map(({ code }) => code)).toEqual(["valve-opening"]);
    const { size, unit } = reading!.causes[0]!;
    expect(unit).toBe("s");
    expect(Math.abs(size.value - 0.02)).toBeLessThan(3 * size.u);
    expect(reading!.text).toMatch(
      /^Likely cause of the difference: the valve takes \d+(\.\d)? ± \d\.\d ms longer to open than stated \(\d+ of its uncertainties\)\. What lies so far /,
    );
    const measurer = createMeasurer();
    measurer.full(session, EXAMPLE_SHOT_ID, null);
    expect(measurer.quick(session, EXAMPLE_SHOT_ID, null).comparison!.reading!.text).toBe(reading!.text);
  });

  it("gives each residual a u of marks, of what all frames share and of the model's inputs, apart", () => {
    const loose = stated({ slidingN: { value: TRUE_RAM.slidingN, u: 4 } });
    const [{ residuals }, wide] = [comparisonOf(stated({})), comparisonOf(loose).residuals];
    for (const name of ["position", "speed", "acceleration"] as const) {
      const { combined, systematic } = residuals.u![name];
      expect(combined).toHaveLength(residuals.timeS.length);
      combined.forEach((u, i) => {
        expect(u).toBeGreaterThanOrEqual(systematic[i]! - 1e-12);
      });
      // A friction less well known widens the model's part, at release most in speed: dv = dF s/(m v).
      expect(wide.u![name].systematic.at(-1)!).toBeGreaterThan(systematic.at(-1)!);
    }
    const dv = (4 * TRUE_RAM.strokeM) / (TRUE_RAM.totalMassKg * 13.9);
    expect(wide.u!.speed.systematic.at(-1)! / dv).toBeGreaterThan(0.7);
    expect(wide.u!.speed.systematic.at(-1)! / dv).toBeLessThan(1.3);
  });

  it("reads nothing without a ram: a hand throw has no model", () => {
    const thrown: Session = oneOfEach({
      ...exampleSession(4),
      launcher: { kind: "no-model", name: "by hand" },
    });
    expect(measureShot(thrown, EXAMPLE_SHOT_ID, null).comparison).toBeNull();
  });
});
