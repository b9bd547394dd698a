import { describe, expect, it } from "vitest";
import { predictRam } from "../../../src/shared/launch/ram/predict-ram.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { pushInterval } from "../../../src/shared/quantity/push-interval.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Prediction } from "../../../src/shared/results/shot-result.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Airframe, RamLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, LAUNCHER as LAUNCHER_ID, oneOfEach } from "../../support/one-of-each.ts";
import { RAM_CASES } from "../launch/ram/ram-cases.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const CASE = RAM_CASES.baseline;

/** The baseline launch as a session: 1.6 kg on the move, of which 1.2 kg airframe. */
const LAUNCHER: RamLauncher = {
  kind: "compressed-air-ram",
  name: "Bench ram",
  tankVolumeM3: exactly(CASE.tankVolumeM3),
  tankMaterial: "metal",
  tankRatingPa: 10e5,
  boreM: exactly(CASE.boreM),
  strokeM: exactly(CASE.strokeM),
  deadVolumeM3: exactly(CASE.deadVolumeM3),
  valve: { conductance: exactly(CASE.valve.conductance), criticalRatio: exactly(CASE.valve.criticalRatio) },
  openingS: exactly(CASE.openingS),
  movingMassKg: exactly(0.4),
  angleRad: exactly(CASE.angleRad),
  breakawayN: exactly(CASE.breakawayN),
  slidingN: exactly(CASE.slidingN),
  viscousNsPerM: exactly(CASE.viscousNsPerM),
  rodChamber: null,
  gas: "adiabatic",
};

function sessionOf(launcher: Partial<RamLauncher> = {}, airframe: Partial<Airframe> = {}): Session {
  const fresh = freshSession("bench");
  return oneOfEach({
    ...fresh,
    airframe: { ...firstOf(fresh).airframe, massKg: exactly(1.2), ...airframe },
    launcher: { ...LAUNCHER, ...launcher },
  });
}

function shotOf(conditions: Partial<Shot["conditions"]> = {}): Shot {
  const fresh = freshShot("shot-1", "first", null);
  return {
    ...fresh,
    launcherId: LAUNCHER_ID,
    conditions: {
      gaugePressurePa: exactly(CASE.gaugePressurePa),
      temperatureK: exactly(293.15),
      airPressurePa: exactly(101325),
      headwindMPerS: exactly(0),
      ...conditions,
    },
  };
}

function predicted(session: Session, shot: Shot): Prediction {
  const { prediction, notices } = predictShot(session, shot);
  if (prediction === null) throw new Error(JSON.stringify(notices));
  return prediction;
}
const codes = (session: Session, shot: Shot) =>
  predictShot(session, shot).notices.map(({ level, code }) => `${level} ${code}`);

const WING = { wingAreaM2: exactly(0.25), liftCoefficientMax: exactly(1.1) };

describe("predictShot", () => {
  it("gives the ram's numbers of the baseline launch, with u = 0 when every input is exact", () => {
    const { quantities, storedEnergyJ } = predicted(sessionOf(), shotOf());
    const ram = unwrap(predictRam(CASE));
    // 0.4 kg + 1.2 kg is 1.6 kg to rounding
    expect(quantities.releaseSpeed).toMatchObject({ value: expect.closeTo(14.119444, 6), u: 0, unit: "m/s" });
    expect(quantities.releaseTime!.value).toBeCloseTo(ram.exitS, 12);
    expect(quantities.peakAcceleration!.value).toBeCloseTo(302.47018, 5);
    expect(quantities.launchAngle).toMatchObject({ value: CASE.angleRad, u: 0, unit: "rad" });
    const push = pushInterval((timeS) => ram.at(timeS).speedMPerS, ram.startS, ram.exitS);
    expect(quantities.pushTime!.value).toBeCloseTo(push.pushS, 12);
    expect(push.firstS).toBeGreaterThan(0.0012149143);
    expect(push.lastS).toBeLessThan(0.075253266);
    expect(quantities.stroke).toMatchObject({ value: 0.6, unit: "m" });
    expect(quantities.meanPushAcceleration!.value).toBeCloseTo((0.96 * 14.119444) / push.pushS, 4);
    expect(quantities.loadFactor!.value).toBeCloseTo(
      302.47018 / STANDARD_GRAVITY + Math.sin(CASE.angleRad),
      6,
    );
    expect(storedEnergyJ?.value).toBeCloseTo(1378.82541, 5);
  });

  it("says nothing of pitch, nor of the stall without wing area and lift coefficient", () => {
    const { quantities } = predicted(sessionOf(), shotOf());
    expect(Object.keys(quantities).sort()).toEqual(
      [
        "endStopEnergy",
        "heightAfterOneSecond",
        "launchAngle",
        "loadFactor",
        "meanPushAcceleration",
        "peakAcceleration",
        "peakBaseReaction",
        "pushTime",
        "releaseSpeed",
        "releaseTime",
        "shotsPerFill",
        "stroke",
      ].sort(),
    );
  });

  it("carries one input's u by its logarithmic sensitivity: gauge pressure ±1 % gives speed ±0.585 %, peak ±1.022 %", () => {
    const shot = shotOf({ gaugePressurePa: { value: 4e5, u: 4e3 } });
    const { releaseSpeed, peakAcceleration } = predicted(sessionOf(), shot).quantities;
    expect(releaseSpeed!.u / releaseSpeed!.value).toBeCloseTo(0.58491719e-2, 7);
    expect(peakAcceleration!.u / peakAcceleration!.value).toBeCloseTo(1.02178746e-2, 7);
  });

  it("adds independent inputs in squares, and passes angle and stroke straight through", () => {
    const angle = { angleRad: { value: CASE.angleRad, u: 0.01 }, strokeM: { value: 0.6, u: 0.003 } };
    const bore = { boreM: { value: 0.041, u: 0.0002 } };
    const [a, b, both] = [angle, bore, { ...angle, ...bore }].map(
      (change) => predicted(sessionOf(change), shotOf()).quantities,
    );
    expect(both!.releaseSpeed!.u).toBeCloseTo(Math.hypot(a!.releaseSpeed!.u, b!.releaseSpeed!.u), 12);
    expect(a!.launchAngle!.u).toBeCloseTo(0.01, 12);
    expect(a!.stroke!.u).toBeCloseTo(0.003, 12);
    expect(b!.stroke!.u).toBe(0);
  });

  it("gives stall speed and margin with the headwind added to the speed over the ground", () => {
    const still = predicted(sessionOf({}, WING), shotOf()).quantities;
    const density = 101325 / (287.05 * 293.15);
    const stall = Math.sqrt((2 * 1.2 * STANDARD_GRAVITY) / (density * 0.25 * 1.1));
    expect(still.stallSpeed!.value).toBeCloseTo(stall, 10);
    expect(still.stallMargin!.value).toBeCloseTo(14.119444 / stall, 6);
    const windy = predicted(sessionOf({}, WING), shotOf({ headwindMPerS: { value: 3, u: 1 } })).quantities;
    const airspeed = Math.hypot(14.119444 * Math.cos(CASE.angleRad) + 3, 14.119444 * Math.sin(CASE.angleRad));
    expect(windy.stallMargin!.value).toBeCloseTo(airspeed / stall, 6);
    const along = (14.119444 * Math.cos(CASE.angleRad) + 3) / airspeed; // d(airspeed)/d(headwind)
    expect(windy.stallMargin!.u).toBeCloseTo(along / stall, 3);
    expect(windy.releaseSpeed!.u).toBe(0);
  });

  it("lets mass act on speed and stall together: a heavier airframe lowers the margin twice", () => {
    const heavy = { ...WING, massKg: { value: 1.2, u: 0.012 } };
    const { stallMargin, releaseSpeed, stallSpeed } = predicted(sessionOf({}, heavy), shotOf()).quantities;
    const relative = (q: Measured | undefined) => q!.u / q!.value;
    expect(relative(stallMargin)).toBeCloseTo(relative(releaseSpeed) + relative(stallSpeed), 6);
  });

  it("draws at least 200 samples from the valve's opening to release at 0 s, from rest to the stroke", () => {
    const { curves, quantities } = predicted(sessionOf(), shotOf());
    const { timeS, position, speed, acceleration } = curves;
    expect(timeS.length).toBeGreaterThanOrEqual(200);
    for (const one of [position, speed, acceleration]) expect(one.length).toBe(timeS.length);
    expect(timeS[0]).toBeCloseTo(-quantities.releaseTime!.value, 12);
    expect(timeS.at(-1)).toBe(0);
    timeS.slice(1).forEach((t, i) => {
      expect(t).toBeGreaterThan(timeS[i]!);
    });
    expect(position[0]).toBe(0);
    expect(position.at(-1)).toBeCloseTo(0.6, 12);
    expect(speed.at(-1)).toBeCloseTo(14.119444, 6);
    expect(acceleration.at(-1)).toBeCloseTo(91.399488, 4);
  });
});

describe("predictShot refuses, with a cause and a remedy", () => {
  const refusal = (session: Session, shot: Shot) => {
    const { prediction, notices } = predictShot(session, shot);
    expect(prediction).toBeNull();
    const found = notices.find(({ level }) => level === "refusal")!;
    expect(found.cause.length).toBeGreaterThan(10);
    expect(found.remedy.length).toBeGreaterThan(10);
    return found;
  };
  it("without launcher, airframe mass or gauge pressure", () => {
    expect(refusal(oneOfEach({ ...sessionOf(), launcher: null }), shotOf()).code).toBe(ofShot("no-launcher"));
    expect(refusal(sessionOf({}, { massKg: null }), shotOf()).code).toBe(ofShot("no-airframe-mass"));
    expect(refusal(sessionOf(), shotOf({ gaugePressurePa: null })).code).toBe(ofShot("no-gauge-pressure"));
  });
  it.each<readonly [string, Partial<RamLauncher>, string]>([
    [
      "a critical ratio above 1",
      { valve: { ...LAUNCHER.valve, criticalRatio: exactly(1.2) } },
      "1.2 cannot be the valve's critical pressure ratio (0 to 0.9999).",
    ],
    [
      "a negative tank",
      { tankVolumeM3: exactly(-0.003) },
      "−3 L cannot be the tank volume (0.0001 to 10000 L).",
    ],
    ["a stroke of nothing", { strokeM: exactly(0) }, "0 mm cannot be the stroke (1 to 50000 mm)."],
    ["a bore of nothing", { boreM: exactly(0) }, "0 mm cannot be the bore (0.5 to 1000 mm)."],
    ["no dead volume", { deadVolumeM3: exactly(0) }, "0 mL cannot be the dead volume (0.001 to 1000000 mL)."],
    ["negative friction", { slidingN: exactly(-3) }, "−3 N cannot be the sliding friction (0 to 1000000 N)."],
    [
      "a negative leak",
      { leak: exactly(-1e-9) },
      "−0.1 dm³/(s·bar) cannot be the leak past the piston (0 to 2000 dm³/(s·bar)).",
    ],
    [
      "an exponent above 1.4",
      { gas: "polytropic", polytropicExponent: exactly(1.6) },
      "1.6 cannot be the exponent of the gas (1 to 1.4).",
    ],
    [
      "a rod thicker than the bore",
      { rodChamber: { rodDiameterM: exactly(0.05), volumeM3: exactly(3e-5), vent: LAUNCHER.valve } },
      "The model cannot take 50 mm for the rod diameter.",
    ],
    [
      "an opening whose points do not rise in time",
      {
        openingCurve: [
          [0, 0],
          [0.6, 0.2],
          [0.6, 0.9],
          [1, 1],
        ],
      },
      "The model cannot take 0.6 for the share of the opening time at point 3 of the valve's opening.",
    ],
    [
      "an opening beyond the full area",
      {
        openingCurve: [
          [0, 0],
          [0.5, 1.3],
          [1, 1],
        ],
      },
      "1.3 cannot be the share of the full area at point 2 of the valve's opening (0 to 1).",
    ],
    [
      "a further valve that is shut",
      {
        moreValves: [
          { valve: { ...LAUNCHER.valve, conductance: exactly(0) }, openingS: exactly(0), delayS: exactly(0) },
        ],
      },
      "0 dm³/(s·bar) cannot be the sonic conductance of further valve 1 (0.0001 to 2000 dm³/(s·bar)).",
    ],
  ])("on %s, naming the field in words", (_what, launcher, words) => {
    const found = refusal(sessionOf(launcher), shotOf());
    expect(found.code).toBe(ofShot("impossible-input"));
    expect(found.cause).toBe(words);
    expect(found.remedy).toMatch(
      /^(Enter a value that is above 0|Correct it under Model\. In the document it is launchers\[0\]\.)/,
    );
    expect(found.cause).not.toMatch(/[a-z](M3|Pa|M|N|S)\b[^)·]/); // no name of a program's field
  });
  it("on a polytropic gas without exponent, saying what is lacking", () => {
    expect(refusal(sessionOf({ gas: "polytropic" }), shotOf())).toMatchObject({
      code: ofShot("impossible-input"),
      cause: "The model lacks the exponent of the gas.",
      remedy: "Enter a value that is from 1 to 1.4.",
    });
  });
  it("on a tank below the air outside, naming the gauge pressure", () => {
    const found = refusal(sessionOf(), shotOf({ gaugePressurePa: exactly(-2e4) }));
    expect(found).toMatchObject({
      code: ofShot("no-pressure"),
      cause: "The tank's gauge pressure of −0.2 bar is not above that of the air outside.",
      remedy: "Enter what the gauge read just before the shot, above 0.",
    });
  });
  it("on a leak that keeps the drive chamber below break-away", () => {
    const found = refusal(sessionOf({ leak: exactly(2e-7), breakawayN: exactly(480) }), shotOf());
    expect(found.code).toBe(ofShot("stalls"));
    expect(found.cause).toContain("has not started after 10 s");
  });
  it("on a ram that never starts, stops short, or has no pressure, with the numbers", () => {
    expect(refusal(sessionOf(), shotOf({ gaugePressurePa: exactly(0) })).code).toBe(ofShot("no-pressure"));
    const held = refusal(sessionOf({ breakawayN: exactly(900) }), shotOf());
    expect(held.code).toBe(ofShot("never-moves"));
    // 4 bar · 3 L/3.04 L on 41 mm is 521.1 N; 1.6 kg on 10° weighs 2.7 N of it.
    expect(held.cause).toContain("518 N");
    expect(held.cause).toContain("900 N");
    const short = refusal(sessionOf({ tankVolumeM3: exactly(20e-6), angleRad: exactly(1.5) }), shotOf());
    expect(short.code).toBe(ofShot("stalls"));
    expect(short.cause).toMatch(/stops after 0\.\d+ m of its 0\.6 m stroke/);
  });
});

describe("predictShot says of base, end stop and tank", () => {
  const END_STOP = { bufferTravelM: exactly(0.02), ratedLoadN: 12000 };
  it("the push back on the base: the moving mass times what accelerates and lifts it", () => {
    const { peakBaseReaction } = predicted(sessionOf(), shotOf()).quantities;
    const byHand = 1.6 * (302.47018 + STANDARD_GRAVITY * Math.sin(CASE.angleRad));
    expect(peakBaseReaction!.value).toBeCloseTo(byHand, 4);
  });
  it("the energy of 0.4 kg at 14.12 m/s, and with a buffer the gas behind it: 39.9 J and 282 N less weight over 20 mm", () => {
    const without = predicted(sessionOf(), shotOf()).quantities;
    const kinetic = 0.5 * 0.4 * 14.119444 ** 2;
    expect(without.endStopEnergy!.value).toBeCloseTo(kinetic, 4);
    expect(without.endStopMeanForce).toBeUndefined();
    const stopped = predicted(sessionOf({ endStop: END_STOP }), shotOf()).quantities;
    const weight = 0.4 * STANDARD_GRAVITY * Math.sin(CASE.angleRad);
    const driving = (314859.15 - 101325) * (Math.PI / 4) * 0.041 ** 2 - weight;
    expect(stopped.endStopEnergy!.value).toBeCloseTo(kinetic + driving * 0.02, 3);
    expect(stopped.endStopMeanForce!.value).toBeCloseTo((kinetic + driving * 0.02) / 0.02, 1);
    expect(stopped.endStopPeakForce!.value).toBeCloseTo(2 * stopped.endStopMeanForce!.value, 9);
  });
  it("how uncertain these are: the buffer's travel by its part of the mean force, the mass by all of the energy", () => {
    const travel = { bufferTravelM: { value: 0.02, u: 2e-4 }, ratedLoadN: null };
    const { endStopEnergy, endStopMeanForce } = predicted(
      sessionOf({ endStop: travel }),
      shotOf(),
    ).quantities;
    const kinetic = 0.5 * 0.4 * 14.119444 ** 2;
    expect(endStopMeanForce!.u).toBeCloseTo((kinetic / 0.02) * 0.01, 1); // d(E_k/s) = E_k/s · u(s)/s
    expect(endStopEnergy!.u / (endStopEnergy!.value - kinetic)).toBeCloseTo(0.01, 6);
  });
  it("a danger where the peak passes the joint's rating, a warning within twice its u, a note where no rating is stated", () => {
    const at = (ratedLoadN: number | null, u = 0) =>
      codes(sessionOf({ endStop: { bufferTravelM: { value: 0.02, u }, ratedLoadN } }), shotOf());
    expect(at(12000).some((code) => code.includes("end-stop-"))).toBe(false);
    expect(at(4000)).toContain(ofShot("danger end-stop-over")); // the peak is 4540 N
    expect(at(4600, 4e-4)).toContain(ofShot("warning end-stop-near"));
    expect(at(null)).toContain(ofShot("note end-stop-rating-unknown"));
  });
  it("a danger where push or pull passes what the base's fixings are rated for", () => {
    const at = (baseRatedLoadN: number | null, endStop?: RamLauncher["endStop"]) =>
      codes(sessionOf({ baseRatedLoadN, ...(endStop && { endStop }) }), shotOf()).filter((code) =>
        code.includes("base-"),
      );
    expect(at(null, END_STOP)).toEqual([]);
    expect(at(450)).toEqual([ofShot("danger base-push-over")]); // 487 N
    expect(at(600)).toEqual([]);
    expect(at(600, END_STOP)).toEqual([ofShot("danger base-pull-over")]);
    expect(at(6000, END_STOP)).toEqual([]);
  });
  it("how many shots a fill gives, until 90 % of the first speed, or until 1.2 times the stall speed where a wing is known", () => {
    const plain = predicted(sessionOf(), shotOf()).quantities.shotsPerFill!;
    // 3.35 g of 17.87 g leave: the second shot starts at 305.9 kPa gauge.
    const second = unwrap(
      predictRam({ ...CASE, gaugePressurePa: 4e5 - (3.3508392e-3 * 287.05 * 293.15) / 3e-3 }),
    ).exitSpeedMPerS;
    expect(second).toBeLessThan(0.9 * 14.119444);
    expect(plain.value).toBeCloseTo(1 + (0.1 * 14.119444) / (14.119444 - second), 5);
    expect(plain.how).toContain("3.35 g of the 17.9 g");
    const winged = predicted(sessionOf({}, WING), shotOf()).quantities;
    expect(winged.shotsPerFill!.value).toBeGreaterThan(plain.value);
    const heavy = predicted(sessionOf({}, { ...WING, wingAreaM2: exactly(0.05) }), shotOf()).quantities;
    expect(heavy.shotsPerFill!.value).toBe(0); // the first is too slow already
    const unsure = predicted(sessionOf(), shotOf({ gaugePressurePa: { value: 4e5, u: 1e4 } })).quantities;
    expect(unsure.shotsPerFill!.u).toBeGreaterThan(0);
  });
  it("how long a hand pump or a compressor takes, and that a pump whose clearance holds too much never gets there", () => {
    const by = (fill: RamLauncher["fill"]) => predictShot(sessionOf({ ...(fill && { fill }) }), shotOf());
    const compressor = by({ by: "compressor", freeAirM3PerS: { value: 5e-4, u: 5e-5 } });
    const { fillTime } = compressor.prediction!.quantities;
    expect(fillTime!.value).toBeCloseTo((4e5 * 3e-3) / (101325 * 5e-4), 9); // 23.7 s
    expect(fillTime!.u / fillTime!.value).toBeCloseTo(0.1, 2);
    const pump = {
      by: "hand-pump",
      strokeVolumeM3: exactly(2e-4),
      clearanceM3: exactly(6e-5),
      strokesPerS: exactly(0.5),
    } as const;
    const weak = by(pump);
    expect(weak.prediction!.quantities.fillTime).toBeUndefined();
    expect(weak.notices.map(({ code }) => code)).toContain(ofShot("pump-cannot-reach"));
    expect(
      by({ ...pump, clearanceM3: exactly(1e-5) }).prediction!.quantities.fillTime!.value,
    ).toBeGreaterThan(100);
  });
});

describe("predictShot warns", () => {
  it("of plastic pipe, of a pressure above the rating, with or without a prediction", () => {
    const plastic = sessionOf({ tankMaterial: "plastic-pipe", tankRatingPa: 3e5 });
    expect(codes(plastic, shotOf())).toEqual(
      expect.arrayContaining([ofShot("danger plastic-pipe"), ofShot("danger over-rating")]),
    );
    const unweighed = oneOfEach({ ...plastic, airframe: { ...firstOf(plastic).airframe, massKg: null } });
    expect(codes(unweighed, shotOf())).toEqual(
      expect.arrayContaining([
        ofShot("danger plastic-pipe"),
        ofShot("danger over-rating"),
        ofShot("note stored-pressure"),
      ]),
    );
  });
  it("of stored pressure, the end stop and the people down range, always", () => {
    expect(codes(sessionOf(), shotOf())).toEqual([
      ofShot("note ram-no-pitch"),
      ofShot("note push-no-drag"),
      ofShot("note stored-pressure"),
      ofShot("note end-stop"),
      ofShot("note people-down-range"),
    ]);
  });
  it("of a tank at its own temperature: faster when just filled, and what 10 K would make where none is stated", () => {
    const of = (tankTemperatureK?: Measured) => {
      const shot = shotOf();
      const conditions = { ...shot.conditions, ...(tankTemperatureK && { tankTemperatureK }) };
      return predictShot(sessionOf(), { ...shot, conditions }).prediction!.quantities.releaseSpeed!;
    };
    const airK = shotOf().conditions.temperatureK.value;
    const percent = 100 * (of(exactly(airK + 10)).value / of().value - 1);
    expect(percent).toBeGreaterThan(0.1);
    expect(of().how).toContain(`10 K off would be ${percent.toPrecision(1)} %`);
    expect(of(exactly(airK + 10)).how).not.toContain("10 K off");
    // a slope for ± 10 K, which the speed bends from by some per cent of it
    const slope = of({ value: airK, u: 10 }).u / ((percent / 100) * of().value);
    expect(Math.abs(slope - 1)).toBeLessThan(0.05);
  });
  it("of drag that is left out, with what 0.01 m² would take: 0.3 % as the model with it has", () => {
    const speed = (dragAreaM2: Measured | null) =>
      predictShot(sessionOf({}, { dragAreaM2 }), shotOf()).prediction!.quantities.releaseSpeed!.value;
    const told = predictShot(sessionOf(), shotOf()).notices.find(({ code }) => code === "push-no-drag")!;
    const percent = Number(/about ([\d.]+) %/.exec(told.cause)![1]);
    // with an area small enough for drag to be in proportion to it, ten times over
    const taken = 1000 * (1 - speed(exactly(0.001)) / speed(null));
    expect(percent / taken).toBeGreaterThan(0.6);
    expect(percent / taken).toBeLessThan(1.6);
    expect(codes(sessionOf({}, { dragAreaM2: exactly(0.01) }), shotOf())).not.toContain(
      ofShot("note push-no-drag"),
    );
  });
  it("of a load beyond the limit, or within twice the uncertainty of it: peak 31.0 g", () => {
    const limit = (value: number, u: number) => codes(sessionOf({}, { loadLimitG: { value, u } }), shotOf());
    expect(limit(25, 1)).toContain(ofShot("danger load-limit"));
    expect(limit(32, 1)).toContain(ofShot("warning near-load-limit"));
    expect(limit(40, 1).some((code) => code.includes("load-limit"))).toBe(false);
  });
  it("of a release below stall speed", () => {
    const small = { wingAreaM2: exactly(0.05), liftCoefficientMax: exactly(1.1) };
    expect(codes(sessionOf({}, small), shotOf())).toContain(ofShot("warning below-stall"));
    expect(codes(sessionOf({}, WING), shotOf())).not.toContain(ofShot("warning below-stall"));
  });
});
