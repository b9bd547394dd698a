import { describe, expect, it } from "vitest";
import { endStopLoad } from "../../../../src/shared/launch/end-stop.ts";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import { leftInRam, peakBaseReaction } from "../../../../src/shared/launch/ram/ram-loads.ts";
import { STANDARD_GRAVITY } from "../../../../src/shared/quantity/gravity.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import { RAM_CASES } from "./ram-cases.ts";

describe("peakBaseReaction", () => {
  it.each(Object.entries(RAM_CASES))(
    "is the greatest sum of gas on both ends of the cylinder and friction: %s",
    (_name, inputs) => {
      const prediction = unwrap(predictRam(inputs));
      const area = (Math.PI / 4) * inputs.boreM ** 2;
      const rod = inputs.rodChamber;
      const rodArea = rod ? area - (Math.PI / 4) * rod.rodDiameterM ** 2 : 0;
      const reaction = (t: number) => {
        const { chamberPa, rodChamberPa, speedMPerS } = prediction.at(t);
        const pa = inputs.airPressurePa;
        const gas = (chamberPa - pa) * area - ((rodChamberPa ?? pa) - pa) * rodArea;
        return gas - inputs.slidingN - inputs.viscousNsPerM * speedMPerS;
      };
      const peak = peakBaseReaction(inputs, prediction);
      const { startS, exitS, peakAccelerationS } = prediction;
      expect(reaction(peakAccelerationS) / peak).toBeCloseTo(1, 7);
      for (let i = 0; i <= 1000; i++) {
        expect(reaction(startS + ((exitS - startS) * i) / 1000)).toBeLessThan(peak * (1 + 1e-8));
      }
    },
  );
});

describe("the pull forward on the base before the end stop", () => {
  it("is what gas shut in on the rod side slows all that moves with: by hand from the acceleration at exit", () => {
    const { peakPullN } = unwrap(predictRam(RAM_CASES.rodChamber));
    const slowing = 149.20462 - STANDARD_GRAVITY * Math.sin(RAM_CASES.rodChamber.angleRad);
    expect(peakPullN).toBeCloseTo(1.6 * slowing, 3);
  });
  it("is that of the ram alone once its airframe has left, and nothing where it is pushed to the end", () => {
    const resting = { ...RAM_CASES.rodChamber, looseMassKg: 1.2 };
    const { peakPullN, ramEnd } = unwrap(predictRam(resting));
    const area = (Math.PI / 4) * 0.041 ** 2;
    const ring = area - (Math.PI / 4) * 0.016 ** 2;
    const gas = (ramEnd.chamberPa - 101325) * area - (ramEnd.rodChamberPa! - 101325) * ring;
    // what the gas on both sides and the friction do to the cylinder, at the stop
    expect(peakPullN).toBeCloseTo(-(gas - 20 - 8 * ramEnd.speedMPerS), 4);
    expect(unwrap(predictRam(RAM_CASES.baseline)).peakPullN).toBe(0);
  });
});

describe("leftInRam", () => {
  it("is ½ m v² of what stays, and the push of the gas less its weight", () => {
    const inputs = RAM_CASES.breakAway;
    const prediction = unwrap(predictRam(inputs));
    const { kineticJ, drivingN } = leftInRam(inputs, prediction, 0.3);
    expect(kineticJ).toBeCloseTo(0.15 * 13.293473 ** 2, 5);
    const gas = (326561.54 - 101325) * (Math.PI / 4) * 0.032 ** 2;
    expect(drivingN).toBeCloseTo(gas - 0.3 * STANDARD_GRAVITY * Math.SQRT1_2, 4);
  });
  it("is held back by gas shut in on the rod side, on the ring about the rod alone: by hand", () => {
    const inputs = RAM_CASES.rodChamber;
    const run = unwrap(predictRam(inputs));
    const end = {
      ...run,
      ramEnd: { ...run.ramEnd, chamberPa: 4e5, rodChamberPa: 1.5e5, speedMPerS: 10 },
    };
    const level = { ...inputs, airPressurePa: 1e5, angleRad: 0 };
    const bore = (Math.PI / 4) * inputs.boreM ** 2;
    const ring = bore - (Math.PI / 4) * inputs.rodChamber!.rodDiameterM ** 2;
    const { kineticJ, drivingN } = leftInRam(level, end, 0.4);
    expect(kineticJ).toBeCloseTo(20, 12);
    expect(drivingN).toBeCloseTo(3e5 * bore - 0.5e5 * ring, 9);
  });
  it("has nothing driving where gas shut in on the rod side holds the piston back more", () => {
    const inputs = RAM_CASES.rodChamber; // 469 771 Pa on the rod side against 321 999 Pa behind
    expect(leftInRam(inputs, unwrap(predictRam(inputs)), 0.4).drivingN).toBe(0);
  });
});

describe("a ram that goes on without its airframe", () => {
  const resting = { ...RAM_CASES.rodChamber, looseMassKg: 1.2 };
  it("meets the stop with its own speed, not the airframe's", () => {
    const run = unwrap(predictRam(resting));
    // tools/reference/launch_cases.py, "closed rod side, resting"
    expect(run.exitSpeedMPerS).toBeCloseTo(12.2426006, 6);
    expect(leftInRam(resting, run, 0.4).kineticJ).toBeCloseTo(0.2 * 10.8478637 ** 2, 5);
  });
  it("has nothing to stop where it stops short, but creeps on with the gas behind it once its rod side is vented", () => {
    const vent = { conductance: 3e-8, criticalRatio: 0.35 };
    const inputs = { ...resting, rodChamber: { ...resting.rodChamber, vent } };
    const run = unwrap(predictRam(inputs));
    expect(run.ramEnd.positionM).toBeLessThan(0.56);
    const { kineticJ, drivingN } = leftInRam(inputs, run, 0.4);
    expect(kineticJ).toBe(0);
    const behind = (run.ramEnd.chamberPa - 101325) * (Math.PI / 4) * 0.041 ** 2;
    expect(drivingN).toBeCloseTo(behind - 0.4 * STANDARD_GRAVITY * Math.sin(resting.angleRad), 9);
  });
  it("pushes its base with its own mass when it speeds up once more", () => {
    const slow = {
      ...resting,
      angleRad: 0,
      viscousNsPerM: 30,
      valve: { conductance: 1e-8, criticalRatio: 0.3 },
      moreValves: [{ valve: { conductance: 2e-6, criticalRatio: 0.3 }, openingS: 0.005, delayS: 0.25 }],
    };
    const run = unwrap(predictRam(slow));
    expect(run.leavesEarly).toBe(true);
    const alone = 0.4 * run.ramEnd.peakAloneMPerS2!;
    expect(alone).toBeGreaterThan(1.6 * run.peakAccelerationMPerS2);
    expect(peakBaseReaction(slow, run)).toBeCloseTo(alone, 9);
  });
});

describe("endStopLoad", () => {
  it("by hand: 40 J and 300 N over 20 mm are 46 J, 2300 N mean, 4600 N at the end of a spring", () => {
    const { energyJ, meanN, peakN } = endStopLoad({ kineticJ: 40, drivingN: 300 }, 0.02);
    expect([energyJ, meanN, peakN]).toEqual([46, 2300, 4600].map((x) => expect.closeTo(x, 9)));
  });
  it("is what a spring of that end force does to a mass driven on: at rest after the travel", () => {
    const [left, massKg, travelM] = [{ kineticJ: 40, drivingN: 300 }, 0.4, 0.02];
    const stiffness = endStopLoad(left, travelM).peakN / travelM;
    let [x, v] = [0, Math.sqrt((2 * left.kineticJ) / massKg)];
    const dt = 1e-8;
    while (v > 0) {
      v += ((left.drivingN - stiffness * x) / massKg) * dt;
      x += v * dt;
    }
    expect(x).toBeCloseTo(travelM, 6);
  });
  it("throws RangeError on a travel of nothing", () => {
    expect(() => endStopLoad({ kineticJ: 1, drivingN: 0 }, 0)).toThrow(RangeError);
  });
});
