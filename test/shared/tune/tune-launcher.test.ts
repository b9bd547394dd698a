import { describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { type LauncherTuning, tuneLauncher } from "../../../src/shared/tune/tune-launcher.ts";
import { tuningProblem } from "../../../src/shared/tune/tuning-problem.ts";
import { madeShots, STATED, speedOnly } from "./made-shots.ts";

const ASKED = ["valve.conductance", "slidingN", "openingS"];
const SERIES = [2.5e5, 2.5e5, 3.5e5, 3.5e5, 4.5e5, 4.5e5];

/** A valve stated as well as a maker states it: 8 %. */
const KNOWN_VALVE = {
  ...STATED,
  valve: { ...STATED.valve, conductance: { value: 1.4e-7, u: 1.1e-8 } },
};

function inputOf(tuning: LauncherTuning, name: string) {
  const found = tuning.inputs.find((one) => one.name === name);
  if (found === undefined) throw new Error(`no input ${name}`);
  return found;
}

describe("tuningProblem", () => {
  it("has the derivatives that central differences of its residuals have, of every unknown", () => {
    const { shots } = madeShots(createChance(5), [3e5, 4e5]);
    const { fit, unknowns } = tuningProblem(shots, new Set(), 1);
    const n = unknowns.length;
    const z = Float64Array.from(
      { length: n },
      (_, j) => 0.3 * Math.sin(j + 1) * (unknowns[j]!.kind === "start" ? 0.01 : 1),
    );
    const jacobian = new Float64Array(fit.count * n);
    fit.jacobian!(z, jacobian);
    const [above, below] = [new Float64Array(fit.count), new Float64Array(fit.count)];
    for (let j = 0; j < n; j++) {
      const h = unknowns[j]!.kind === "start" ? 1e-4 : 0.02;
      fit.residuals(
        z.map((value, k) => (k === j ? value + h : value)),
        above,
      );
      fit.residuals(
        z.map((value, k) => (k === j ? value - h : value)),
        below,
      );
      let [error, size] = [0, 0];
      for (let i = 0; i < fit.count; i++) {
        const difference = (above[i]! - below[i]!) / (2 * h);
        error += (jacobian[i * n + j]! - difference) ** 2;
        size += difference ** 2;
      }
      // differences to one side over a hundredth of an u bend by some thousandths at most
      expect(Math.sqrt(error / size), JSON.stringify(unknowns[j])).toBeLessThan(0.01);
    }
  });

  it("shares rod and rate between shots, and leaves each shot's own picks in its covariance", () => {
    const { shots } = madeShots(createChance(5), [3e5, 4e5]);
    const keys = tuningProblem(shots, new Set(), 1).unknowns.flatMap((one) =>
      one.kind === "common" ? [one.key] : [],
    );
    expect(keys).toEqual(["rod", "rate"]);
  });
});

describe("tuneLauncher", () => {
  it("recovers inputs with the u it states, over seeds: 95 % within 2 u, and a chi-square of one a degree of freedom", () => {
    const z: number[] = [];
    let [chiSquare, freedom] = [0, 0];
    for (let seed = 1; seed <= 10; seed++) {
      const { shots, truth } = madeShots(createChance(seed), [2.5e5, 3.5e5, 4.5e5], { stated: KNOWN_VALVE });
      const tuning = unwrap(tuneLauncher(shots, ASKED));
      chiSquare += tuning.chiSquare;
      freedom += tuning.degreesOfFreedom;
      for (const { name, tuned, moved } of tuning.inputs) {
        if (moved && truth.has(name)) z.push((tuned.value - truth.get(name)!) / tuned.u);
      }
    }
    const n = z.length;
    expect(n).toBeGreaterThan(30);
    // binomial and chi-square, three standard deviations; the inputs of one tuning are
    // correlated, so n is taken as half
    const within = z.filter((one) => Math.abs(one) < 2).length / n;
    expect(within).toBeGreaterThan(0.954 - 3 * Math.sqrt((0.954 * 0.046) / (n / 2)));
    const square = z.reduce((sum, one) => sum + one * one, 0) / n;
    expect(Math.abs(square - 1)).toBeLessThan(3 * Math.sqrt(2 / (n / 2)));
    expect(Math.abs(chiSquare / freedom - 1)).toBeLessThan(3 * Math.sqrt(2 / freedom));
  });

  it("does not let the release speed alone identify the valve: it is named, and stays exactly as stated", () => {
    for (const seed of [1, 2]) {
      const made = madeShots(createChance(seed), SERIES, { stated: KNOWN_VALVE });
      const alone = unwrap(tuneLauncher(speedOnly(made), ASKED));
      expect(alone.undetermined, `seed ${seed}`).toContain("valve.conductance");
      expect(inputOf(alone, "valve.conductance")).toMatchObject({
        moved: false,
        tuned: KNOWN_VALVE.valve.conductance,
      });
      const whole = unwrap(tuneLauncher(made.shots, ASKED));
      expect(whole.undetermined, `seed ${seed}`).not.toContain("valve.conductance");
      expect(inputOf(whole, "valve.conductance").left).toBeLessThan(0.7);
    }
  });

  it("tunes on one shot, and says that one tells nothing of scatter", () => {
    const { shots, truth } = madeShots(createChance(8), [3.5e5]);
    const tuning = unwrap(tuneLauncher(shots, ["openingS"]));
    expect(tuning.scatter).toBeNull();
    const { tuned, moved } = inputOf(tuning, "openingS");
    expect(moved).toBe(true);
    expect(Math.abs(tuned.value - truth.get("openingS")!)).toBeLessThan(2 * tuned.u);
  });

  it("takes one rod for one error: ten shots with rods of their own leave half as much of it", () => {
    // All else exact: what is left of the bore is then the scale's doing.
    const { value } = STATED.boreM;
    const exact = (input: { readonly value: number }) => ({ value: input.value, u: 0 });
    const bare: typeof STATED = {
      ...STATED,
      tankVolumeM3: exact(STATED.tankVolumeM3),
      airPressurePa: exact(STATED.airPressurePa),
      temperatureK: exact(STATED.temperatureK),
      boreM: { value, u: 4e-4 },
      // Were it known, each shot would tell its own scale by it.
      strokeM: { value: STATED.strokeM.value, u: 0.02 },
      deadVolumeM3: exact(STATED.deadVolumeM3),
      valve: {
        conductance: exact(STATED.valve.conductance),
        criticalRatio: exact(STATED.valve.criticalRatio),
      },
      openingS: exact(STATED.openingS),
      movingMassKg: exact(STATED.movingMassKg),
      airframeMassKg: exact(STATED.airframeMassKg),
      angleRad: exact(STATED.angleRad),
      breakawayN: exact(STATED.breakawayN),
      slidingN: exact(STATED.slidingN),
      viscousNsPerM: exact(STATED.viscousNsPerM),
      leak: { value: 0, u: 0 },
    };
    const uOf = (count: number, separate: boolean) => {
      // Gauge and picks without error, so that scale is all that is left.
      const made = madeShots(createChance(2), Array(count).fill(3.5e5), { stated: bare, exactly: true });
      const shots = made.shots.map(({ track, model }, i) => ({
        model,
        track: {
          ...track,
          common: [
            {
              key: separate ? `rod ${i}` : "rod",
              source: "scale" as const,
              travelM: track.points.map(({ travelM }) => 1e-3 * travelM),
              timeS: track.points.map(() => 0),
            },
          ],
        },
      }));
      return inputOf(unwrap(tuneLauncher(shots, ["boreM", "strokeM"])), "boreM").tuned.u;
    };
    // Were it another error in every shot, ten shots would average it: the key is what makes the difference.
    expect(uOf(10, true)).toBeLessThan(0.6 * uOf(10, false));
    expect(uOf(1, true)).toBeCloseTo(uOf(1, false), 12);
  });

  it("finds the scatter from shot to shot that is beyond gauge and marks, and none where there is none", () => {
    const pressures = Array.from({ length: 8 }, (_, i) => 2.5e5 + 3e4 * i);
    const scatters = [12, 13].map((seed) => {
      // A valve that passes 15 % more or less each time: 1.9 % of release speed, by its sensitivity of 0.126.
      const { shots } = madeShots(createChance(seed), pressures, { scatter: 0.15, stated: KNOWN_VALVE });
      return unwrap(tuneLauncher(shots, ASKED)).scatter!;
    });
    for (const scatter of scatters) {
      expect(scatter).toBeGreaterThan(0.008);
      expect(scatter).toBeLessThan(0.04);
    }
    const { shots } = madeShots(createChance(14), pressures, { stated: KNOWN_VALVE });
    expect(unwrap(tuneLauncher(shots, ASKED)).scatter).toBeLessThan(0.005);
  });

  it("widens what it states when the shots do not follow the model as closely as their marks say", () => {
    const made = madeShots(createChance(6), [3e5, 4e5]);
    const wavy = made.shots.map(({ track, model }) => ({
      model,
      track: {
        ...track,
        points: track.points.map((one) => ({
          ...one,
          travelM: one.travelM + 1.5e-3 * Math.sin(400 * one.timeS),
        })),
      },
    }));
    const [as, wide] = [made.shots, wavy].map((shots) => unwrap(tuneLauncher(shots, ASKED)));
    expect(as!.widened).toBe(1);
    expect(wide!.widened).toBeGreaterThan(1.5);
    expect(wide!.chance).toBeLessThan(0.01);
    expect(inputOf(wide!, "openingS").left).toBeGreaterThan(1.3 * inputOf(as!, "openingS").left);
  });

  it("refuses shots that the launcher as stated cannot make, and fewer frames than unknowns", () => {
    const { shots } = madeShots(createChance(6), [3e5, 4e5]);
    const stuck = shots.map(({ track, model }) => ({ track, model: { ...model, predict: () => null } }));
    expect(tuneLauncher(stuck, ASKED)).toMatchObject({ ok: false, code: "no-launch", numbers: { shot: 0 } });
    const few = shots.map(({ track, model }) => ({
      model,
      track: { ...track, points: track.points.slice(-4) },
    }));
    expect(tuneLauncher(few, ASKED)).toMatchObject({ ok: false, code: "too-few-data", numbers: { rows: 8 } });
  });
});
