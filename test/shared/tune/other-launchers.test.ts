import { describe, expect, it } from "vitest";
import type { PushTrack } from "../../../src/shared/measure/push-track.ts";
import { launcherInUse, withInput } from "../../../src/shared/predict/launcher-in-use.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import type {
  Conditions,
  ElasticLauncher,
  Launcher,
  RocketLauncher,
  Session,
} from "../../../src/shared/session/schema.ts";
import { tunableOfShot } from "../../../src/shared/tune/tunable-of-shot.ts";
import { tunableIn, tunableParameters } from "../../../src/shared/tune/tunable-parameters.ts";
import { tuneLauncher } from "../../../src/shared/tune/tune-launcher.ts";
import type { ShotToTune } from "../../../src/shared/tune/tuned-shot.ts";
import { modelAt } from "../../../src/shared/tune/tuned-shot.ts";
import { firstOf, LAUNCHER, oneOfEach } from "../../support/one-of-each.ts";
import { shotsField } from "../../support/shots-field.ts";

const exact = (value: number) => ({ value, u: 0 });

const ELASTIC: ElasticLauncher = {
  kind: "elastic-line",
  name: "Withy line",
  angleRad: exact(0.3),
  drawM: { value: 2.4, u: 0.01 },
  loading: [
    [0, 0],
    [1, 28],
    [2, 44],
    [3, 60],
  ],
  unloading: [
    [0, 0],
    [1, 22],
    [2, 37],
    [3, 60],
  ],
  forceScale: { value: 1, u: 0.08 },
  lines: 2,
  lineMassKg: { value: 0.06, u: 0.002 },
  carriageKg: { value: 0.05, u: 0.002 },
  slidingN: { value: 3, u: 2 },
};

const ROCKET: RocketLauncher = {
  kind: "rocket-boost",
  name: "Cradle",
  angleRad: exact(0.7),
  railM: { value: 1.5, u: 0.002 },
  slidingN: { value: 2, u: 1 },
  boosterKg: exact(0),
  motors: [
    {
      id: "m1",
      name: "pair left",
      thrust: {
        by: "curve",
        points: [
          [0, 0],
          [0.08, 60],
          [0.6, 45],
          [0.7, 0],
        ],
      },
      thrustScale: { value: 1, u: 0.1 },
      propellantKg: { value: 0.02, u: 0.001 },
      aheadM: exact(0),
      aboveM: exact(0),
      rightM: exact(0),
      tiltUpRad: exact(0),
      tiltRightRad: exact(0),
      delayS: exact(0),
      lit: true,
      ejectionS: null,
    },
  ],
};

/**
 * Shots of a launcher whose tuned input is truly `truth`, seen at 480 frames a second with
 * half a millimetre of noise.
 */
function shotsOf(launcher: Launcher, path: string, truth: number, count: number): readonly ShotToTune[] {
  const { session } = shotsField(1, Array(count).fill(3e5));
  const chance = createChance(4);
  const stated: Session = oneOfEach({ ...session, launcher });
  const real: Session = oneOfEach({
    ...session,
    launcher: withInput(launcher, path, { value: truth, u: 0 }),
  });
  return session.shots.map((shot, i) => {
    const conditions: Conditions = session.shots[0]!.conditions;
    const same = { ...shot, conditions };
    const [model, actual] = [stated, real].map((one) => {
      const told = tunableOfShot(firstOf(one).launcher, firstOf(one).airframe, same);
      if (!told.ok) throw new Error(told.fault.cause);
      return told.model;
    });
    const curve = actual!.predict(actual!.inputs.map(({ value }) => value))!;
    const opensS = 0.04;
    const frames = Math.floor((opensS + curve.exitS + 0.04) * 480);
    const points = Array.from({ length: frames }, (_, frame) => {
      const timeS = frame / 480;
      const { travelM, speedMPerS } = modelAt(curve, 1, timeS - opensS);
      return { timeS, travelM: travelM + 5e-4 * chance.normal(), u: 5e-4, speedMPerS };
    });
    const speed = { value: curve.exitSpeedMPerS, u: 0.03, unit: "m/s" as const, how: "" };
    const track: PushTrack = {
      shotId: `shot-${i + 1}`,
      points,
      common: [],
      directionRad: 0.3,
      startS: opensS,
      releaseS: opensS + curve.exitS,
      measurement: { quantities: { releaseSpeed: speed }, budget: {} } as unknown as Measurement,
    };
    return { track, model: model! };
  });
}

const LIGHT: RocketLauncher["motors"][number]["thrust"] = {
  by: "curve",
  points: [
    [0, 0],
    [0.08, 30],
    [0.6, 22],
    [0.7, 0],
  ],
};
const DELAYS = ["motors.0.delayS", "motors.1.delayS"];

/** Two like motors with one stated delay, tuned on shots in which the first of them lit so late. */
function pairTuned(delayS: Measured, lateS: number) {
  const [motor] = ROCKET.motors;
  const pair: RocketLauncher = {
    ...ROCKET,
    motors: ["left", "right"].map((id) => ({ ...motor!, id, name: id, thrust: LIGHT, delayS })),
  };
  return unwrap(tuneLauncher(shotsOf(pair, DELAYS[0]!, lateS, 3), DELAYS));
}

it.each([
  ["late for both, give or take", { value: 0.03, u: 0.02 }, 0.09, 0.06],
  // At none the fit had an edge, on which it did not settle, and of like motors a saddle.
  ["none, give or take", { value: 0, u: 0.01 }, 0.03, 0.03],
])("names both motors where the shots show that one lit late and not which; stated: %s", (...of) => {
  const [, stated, lateS, apartS] = of;
  const { inputs, rivals } = pairTuned(stated, lateS);
  expect(rivals).toHaveLength(1);
  const delays = [inputs, rivals[0]!.inputs].map((answer) =>
    DELAYS.map((path) => answer.find(({ name }) => name === path)!.tuned),
  );
  for (const [one, other] of delays) {
    expect(Math.abs(Math.abs(one!.value - other!.value) - apartS)).toBeLessThan(0.02);
    for (const { value, u } of [one!, other!]) {
      expect(value).toBeGreaterThanOrEqual(0);
      expect(u).toBeGreaterThan(1e-3);
      expect(u).toBeLessThanOrEqual(stated.u);
    }
  }
  const ahead = delays.map(([one, other]) => Math.sign(one!.value - other!.value));
  expect(ahead[0]).toBe(-ahead[1]!);
});

it("leaves delays of none as stated where both lit together", () => {
  const { undetermined, inputs } = pairTuned({ value: 0, u: 0.02 }, 0);
  expect(undetermined).toEqual(DELAYS);
  expect(inputs.find(({ name }) => name === DELAYS[0])!.tuned).toEqual({ value: 0, u: 0.02 });
});

describe.each([
  ["elastic line", ELASTIC as Launcher, "forceScale", 1.07],
  ["rocket boost", ROCKET as Launcher, "motors.0.thrustScale", 0.92],
])("tuning the %s", (_, launcher, path, truth) => {
  it(`recovers ${path} and its u is smaller than stated`, () => {
    const tuning = unwrap(tuneLauncher(shotsOf(launcher, path, truth, 3), [path]));
    const { tuned, stated, moved } = tuning.inputs.find(({ name }) => name === path)!;
    expect(moved).toBe(true);
    expect(tuned.u).toBeLessThan(0.5 * stated.u);
    expect(Math.abs(tuned.value - truth)).toBeLessThan(2.5 * tuned.u);
  });

  it("predicts with the tuned value, and with a smaller u, where the session says so", () => {
    const { session } = shotsField(1, [3e5]);
    const shot = session.shots[0]!;
    const told: Session = oneOfEach({
      ...session,
      launcher,
      tuning: {
        parameters: [path],
        shotIds: [],
        heldOutShotIds: [],
        tuned: {
          values: [{ value: truth, u: 0.005 }],
          correlation: [[1]],
          undetermined: [],
          scatter: 0,
          shotCount: 3,
        },
        use: true,
      },
    });
    expect(tunableParameters(tunableIn(told, LAUNCHER)).map((one) => one.path)).toContain(path);
    const speed = (one: Session) => predictShot(one, shot).prediction!.quantities.releaseSpeed!;
    const [tuned, stated] = [
      speed(told),
      speed(oneOfEach({ ...told, tuning: { ...firstOf(told).tuning!, use: false } })),
    ];
    const replaced = withInput(launcher, path, { value: truth, u: 0.005 });
    expect(launcherInUse(firstOf(told)).launcher).toMatchObject(replaced);
    const alone = speed(oneOfEach({ ...session, launcher: replaced }));
    expect(tuned.value).toBe(alone.value);
    expect(tuned.u).toBeCloseTo(alone.u, 8); // one input alone hangs together with nothing
    expect(tuned.u).toBeLessThan(stated.u);
    expect(Math.sign(tuned.value - stated.value)).toBe(Math.sign(truth - 1));
  });
});
