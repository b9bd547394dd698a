import { describe, expect, it } from "vitest";
import { predictRocket } from "../../../../src/shared/launch/rocket/predict-rocket.ts";
import { flyRocket } from "../../../../src/shared/launch/rocket/rocket-flight.ts";
import { WHERE_IT_COMES_DOWN } from "../../../../src/shared/launchers/rocket/rocket-flight-rows.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import { unwrap } from "../../../../src/shared/quantity/result.ts";
import type { QuantityName } from "../../../../src/shared/results/shot-result.ts";
import { freshShot } from "../../../../src/shared/session/fresh.ts";
import type { Airframe, Conditions, Motor, RocketLauncher } from "../../../../src/shared/session/schema.ts";
import { ofShot } from "../../../support/notice-codes.ts";
import { LAUNCHER } from "../../../support/one-of-each.ts";
import { twoMotors } from "../../launch/rocket/rocket-cases.ts";
import { exactly, launcherOf, MOTOR, sessionOf } from "./rocket-session.ts";

const DEGREE = Math.PI / 180;
const STABLE = { bodyDiameterM: exactly(0.06), pressureBehindM: exactly(0.12) };
const CALM: Conditions = {
  gaugePressurePa: null,
  temperatureK: exactly(101325 / (287.05 * 1.225)),
  airPressurePa: exactly(101325),
  headwindMPerS: exactly(0),
  crosswindMPerS: exactly(0),
  releaseHeightM: exactly(1),
};

interface Change {
  readonly launcher?: Partial<RocketLauncher>;
  readonly motor?: Partial<Motor>;
  readonly airframe?: Partial<Airframe>;
  readonly air?: Partial<Conditions>;
}

/** A pair through the balance point, so that it does not turn, on a cradle at 50°. */
function fly({ launcher = {}, motor = {}, airframe = {}, air = {} }: Change = {}) {
  const one = { ...MOTOR, aboveM: exactly(0), ...motor };
  const pair = launcherOf({
    angleRad: exactly(50 * DEGREE),
    motors: [one, { ...one, id: "right", rightM: exactly(0.1) }],
    ...launcher,
  });
  const shot = {
    ...freshShot("shot-1", "first", null),
    launcherId: LAUNCHER,
    conditions: { ...CALM, ...air },
  };
  const { prediction, notices } = predictShot(sessionOf(pair, { ...STABLE, ...airframe }), shot);
  if (prediction === null) throw new Error(JSON.stringify(notices[0]));
  const said = (code: string) => notices.find((notice) => notice.code === code);
  const codes = notices.filter(({ beside }) => beside === "flight").map(({ code }) => code as string);
  return { quantities: prediction.quantities, path: prediction.path, said, codes };
}

describe("the flight of a rocket that nobody steers", () => {
  it("has the numbers of the path from the cradle to the ground, and the margin in diameters", () => {
    const { quantities, path } = fly();
    const inputs = twoMotors({ aboveM: 0 }, { angleRad: 50 * DEGREE }, { aboveM: 0 });
    const { leaving } = unwrap(predictRocket(inputs));
    const air = { heightM: 1, crosswindMPerS: 0, greatestLiftAreaM2: 0, nose: "into-the-air" } as const;
    const { top, down } = flyRocket(inputs, leaving, air)!;
    expect(quantities.apogee).toMatchObject({ value: expect.closeTo(top.y, 6), u: 0 });
    expect(quantities.range!.value).toBeCloseTo(down.x, 6);
    expect(quantities.sideDrift!.value).toBeCloseTo(0, 9);
    expect(quantities.timeToGround!.value).toBeCloseTo(down.timeS - leaving.timeS, 8);
    expect(quantities.impactSpeed!.value).toBeCloseTo(down.speedMPerS, 6);
    expect(quantities.stabilityMargin).toMatchObject({ value: expect.closeTo(2, 12), unit: "1" });
    expect(quantities.windDrift).toBeUndefined(); // there is no wind
    expect([path!.aheadM[0], path!.heightM[0]]).toEqual([0, 0]);
    expect([path!.aheadM.at(-1), path!.heightM.at(-1)]).toEqual([
      expect.closeTo(down.x, 6),
      expect.closeTo(-1, 6),
    ]);
    expect(path!.top.heightM).toBeCloseTo(top.y, 6);
  });

  it("turns into a wind under thrust: a headwind while it burns, and a crosswind, each to windward and back", () => {
    const { quantities } = fly({ air: { headwindMPerS: exactly(3), crosswindMPerS: exactly(2) } });
    const inputs = twoMotors({ aboveM: 0 }, { angleRad: 50 * DEGREE, headwindMPerS: 3 }, { aboveM: 0 });
    const { leaving } = unwrap(predictRocket(inputs));
    const air = { heightM: 1, crosswindMPerS: 2, greatestLiftAreaM2: 0, nose: "into-the-air" } as const;
    const still = flyRocket({ ...inputs, headwindMPerS: 0 }, leaving, air)!.down.x;
    expect(quantities.windDrift!.value).toBeCloseTo(quantities.range!.value - still, 6);
    expect(quantities.sideDrift!.value).toBeLessThan(-1); // the thrust into the wind is more than the drag
  });

  it("assumes what nobody stated, wide enough to be seen, and says so where it is read", () => {
    const { quantities } = fly({ air: { crosswindMPerS: null, releaseHeightM: null } });
    expect(quantities.sideDrift!.u).toBeGreaterThan(3);
    expect(quantities.range!.u).toBeGreaterThan(0.3);
    expect(quantities.range!.how).toMatch(
      /; height of release not stated: 1\.0 ± 0\.5 m assumed; crosswind not stated: 0 ± 2 m\/s assumed/,
    );
    expect(fly({ airframe: { dragAreaM2: null } }).quantities.range!.how).toMatch(
      /no drag .* an upper bound/,
    );
  });
});

describe("the uncertainty of where it comes down", () => {
  // Nodes and weights of Gauss and Hermite for a normal distribution, exact to the ninth power.
  const NODES = [-2.8569700138728056, -1.355626179974266, 0, 1.355626179974266, 2.8569700138728056];
  const WEIGHTS = [
    0.011257411327720691,
    0.22207592200561263,
    8 / 15,
    0.22207592200561263,
    0.011257411327720691,
  ];
  type Put = (measured: { readonly value: number; readonly u: number }) => Change;
  const INPUTS: readonly (readonly [name: string, value: number, u: number, put: Put])[] = [
    ["mass", 0.6, 0.006, (massKg) => ({ airframe: { massKg } })],
    ["drag area", 0.006, 0.0006, (dragAreaM2) => ({ airframe: { dragAreaM2 } })],
    ["angle of the cradle", 50 * DEGREE, 0.0087, (angleRad) => ({ launcher: { angleRad } })],
    ["travel on it", 1, 0.01, (railM) => ({ launcher: { railM } })],
    ["friction on it", 0.6, 0.1, (slidingN) => ({ launcher: { slidingN } })],
    ["thrust", 1, 0.03, (thrustScale) => ({ motor: { thrustScale } })],
    ["propellant", 0.0108, 0.001, (propellantKg) => ({ motor: { propellantKg } })],
    ["air temperature", 288, 8, (temperatureK) => ({ air: { temperatureK } })],
    ["air pressure", 1e5, 2e3, (airPressurePa) => ({ air: { airPressurePa } })],
    ["headwind", 2, 0.4, (headwindMPerS) => ({ air: { headwindMPerS } })],
    ["crosswind", 1.5, 0.4, (crosswindMPerS) => ({ air: { crosswindMPerS } })],
    ["height of release", 1.2, 0.2, (releaseHeightM) => ({ air: { releaseHeightM } })],
  ];
  const WIND = { headwindMPerS: exactly(2), crosswindMPerS: exactly(1.5), releaseHeightM: exactly(1.2) };
  const names = WHERE_IT_COMES_DOWN;

  it.each(INPUTS)("from the %s is what drawing it alone gives", (name, value, u, put) => {
    const at = (measured: { readonly value: number; readonly u: number }) => {
      const change = put(measured);
      return fly({ ...change, air: { ...WIND, ...change.air } }).quantities;
    };
    const stated = at({ value, u });
    const drawn = NODES.map((node) => at({ value: value + node * u, u: 0 }));
    // Two motors of one kind are drawn each by itself; both at once go twice as far.
    const each = name === "thrust" || name === "propellant" ? Math.SQRT2 : 1;
    for (const one of names) {
      const of = (power: number) =>
        drawn.reduce((sum, quantities, i) => sum + WEIGHTS[i]! * quantities[one]!.value ** power, 0);
      const sd = Math.sqrt(Math.max(0, of(2) - of(1) ** 2)) / each;
      const least = 2e-5 * Math.abs(stated[one]!.value); // below it rounding of the difference of squares
      expect(Math.abs(stated[one]!.u - sd), `${one}: u ${stated[one]!.u}, drawn ${sd}`).toBeLessThan(
        0.03 * sd + least,
      );
    }
    expect(stated.range!.u + stated.sideDrift!.u).toBeGreaterThan(0);
  });

  it("of the margin is that of its two lengths", () => {
    const airframe = { bodyDiameterM: { value: 0.06, u: 0.001 }, pressureBehindM: { value: 0.12, u: 0.009 } };
    const { stabilityMargin } = fly({ airframe }).quantities;
    expect(stabilityMargin!.u).toBeCloseTo(2 * Math.hypot(0.001 / 0.06, 0.009 / 0.12), 4);
  });
});

describe("what is said of it", () => {
  const margin = (behindM: number, u = 0): Change => ({
    airframe: { pressureBehindM: { value: behindM, u } },
  });
  const NONE: readonly QuantityName[] = [];
  const told = ({ quantities }: ReturnType<typeof fly>) =>
    WHERE_IT_COMES_DOWN.filter((name) => quantities[name] !== undefined);

  it("is where it comes down, the ground to keep clear, and how far it is otherwise", () => {
    const { codes, said, quantities } = fly();
    expect(codes).toEqual([ofShot("flight-comes-down"), ofShot("flight-left-out")]);
    expect(quantities.range!.value).toBeCloseTo(48.46, 1);
    expect(said("flight-comes-down")!.cause).toMatch(
      /comes down 48\.\d* ± 0 m ahead .* no farther than 49 m/,
    );
    expect(said("flight-comes-down")!.remedy).toMatch(
      /range safety officer decides.*licensed practice decide/,
    );
    expect(said("flight-left-out")!.cause).toMatch(
      /^How far ahead .* with the nose held as on the cradle \d+ m\./,
    );
    expect(said("flight-left-out")!.cause).toMatch(/changes the stability margin by 0\.12\./); // 21.6 g · 0.2 m/578 g/60 mm
  });

  it("is farther with a wing, in wind that grows with height, and names the booster's place", () => {
    const airframe = { wingAreaM2: exactly(0.12), liftCoefficientMax: exactly(1.1) };
    const launcher = { boosterKg: exactly(0.1) };
    const { said } = fly({
      airframe,
      launcher,
      motor: { ejectionS: exactly(0.3) },
      air: { headwindMPerS: exactly(2) },
    });
    expect(said("flight-left-out")!.cause).toMatch(
      /with a wing that carries it straight for as long as it can \d+ m; with the wind that usually blows at its greatest height, 1\.\d times that at 2 m, \d+ m\. The booster, let go \d+ m ahead and \d+\.?\d* m above/,
    );
  });

  it("is a danger where the centre of pressure does not lie behind, and nothing is told of the path", () => {
    for (const behindM of [-0.03, 0]) {
      const unstable = fly(margin(behindM, 0.01));
      expect(unstable.codes).toEqual([ofShot("flight-unstable"), ofShot("flight-not-told")]);
      expect(unstable.said("flight-unstable")!.level).toBe("danger");
      expect([told(unstable), unstable.path]).toEqual([NONE, undefined]);
      expect(unstable.quantities.stabilityMargin!.value).toBeCloseTo(behindM / 0.06, 9);
    }
    expect(told(fly(margin(0.001)))).toContain("range");
  });

  it("warns of a margin that may be below one diameter within twice its u", () => {
    const low = ofShot("flight-low-margin");
    expect(fly(margin(0.0599)).codes).toContain(low);
    expect(fly(margin(0.0601)).codes).not.toContain(low);
    expect(fly(margin(0.08, 0.0099)).codes).not.toContain(low); // 1.333 − 2 · 0.165
    expect(fly(margin(0.08, 0.0101)).codes).toContain(low);
  });

  it("tells no path where thrust turns the airframe over and nobody knows whether the air holds it", () => {
    const beside = { motor: { aboveM: exactly(-0.006) } };
    const unknown = fly({ ...beside, airframe: { bodyDiameterM: null } });
    expect(unknown.codes).toEqual([ofShot("flight-margin-unknown"), ofShot("flight-not-told")]);
    expect(told(unknown)).toEqual(NONE);
    expect(told(fly(beside))).toContain("range"); // two diameters hold it; that it is turned is said besides
    expect(fly(beside).said("rocket-turns")!.level).toBe("danger");
    const straight = fly({ airframe: { pressureBehindM: null } });
    expect(straight.codes[0]).toBe(ofShot("flight-margin-unknown"));
    expect(told(straight)).toContain("range");
  });

  it("is a danger near the cradle, where people stand", () => {
    const up = fly({ launcher: { angleRad: exactly(Math.PI / 2) }, airframe: { massKg: exactly(0.45) } });
    const near = up.said(ofShot("flight-near-people"))!;
    expect(near.level).toBe("danger");
    expect(near.cause).toMatch(/comes? down 0 m from the cradle, nearer than the 9\.1 m/);
    expect(fly().said("flight-near-people")).toBeUndefined();
  });

  it("is a danger beyond the ground that is clear, a warning where it may be beyond it", () => {
    const beyond = (clearM: number, u = 0) =>
      fly({ air: { clearM: { value: clearM, u } } }).said("flight-beyond-clear");
    expect(beyond(48)!.level).toBe("danger");
    expect(beyond(49)).toBeUndefined();
    expect(beyond(49, 0.4)!.level).toBe("warning");
    expect(beyond(48)!.cause).toMatch(/the predicted launch comes down 48\.\d* ± 0 m .*, beyond the 48 m/);
  });

  it("is a danger in more wind than 20 mph, a warning where it may be more", () => {
    const wind = (along: number, across: number, u = 0) =>
      fly({
        air: { headwindMPerS: { value: along, u }, crosswindMPerS: { value: across, u } },
      }).said("flight-wind");
    expect(wind(5.4, 7.2)!.level).toBe("danger"); // 9.0 m/s
    expect(wind(5.3, 7.1)).toBeUndefined(); // 8.86 m/s
    expect(wind(5.3, 7.1, 0.05)!.level).toBe("warning");
  });

  it("is a danger where it meets the ground while a motor burns", () => {
    const low = fly({ launcher: { angleRad: exactly(0.05) }, airframe: { massKg: exactly(1.1) } });
    expect(low.said(ofShot("flight-under-power"))!.level).toBe("danger");
    expect(fly().said("flight-under-power")).toBeUndefined();
  });
});
