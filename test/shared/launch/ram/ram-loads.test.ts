import { describe, expect, it } from "vitest";
import { predictRam } from "../../../../src/shared/launch/ram/predict-ram.ts";
import { endStopLoad, leftInRam, peakBaseReaction } from "../../../../src/shared/launch/ram/ram-loads.ts";
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
    const end = {
      ...unwrap(predictRam(inputs)),
      chamberPaAtExit: 4e5,
      rodChamberPaAtExit: 1.5e5,
      exitSpeedMPerS: 10,
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
