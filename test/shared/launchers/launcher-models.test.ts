import { describe, expect, it } from "vitest";
import { INPUTS } from "../../../src/shared/inputs/all-inputs.ts";
import { foundInputs } from "../../../src/shared/inputs/found-inputs.ts";
import { LAUNCHER_KINDS, type LauncherKind } from "../../../src/shared/inputs/input.ts";
import { modelInputOrNull } from "../../../src/shared/inputs/model-input.ts";
import { hasModel, launcherModel, modelOf } from "../../../src/shared/launchers/launcher-models.ts";
import { predictLaunch, predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { LauncherSchema } from "../../../src/shared/session/launcher-schemas.ts";
import type { Launcher, ListedLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { ramSession } from "../next-shot/ram-session.ts";
import { calmShot, elasticSession, exactly } from "../predict/elastic-line.ts";
import { launcherOf, MOTOR, sessionOf } from "./rocket/rocket-session.ts";

/** A session of each kind with a shot that can be predicted, and what its report says of it. */
const SAMPLES: Readonly<
  Record<
    LauncherKind,
    { readonly session: Session; readonly words: string; readonly facts: readonly string[] }
  >
> = {
  "compressed-air-ram": {
    session: ramSession({ endStop: { bufferTravelM: exactly(0.02), ratedLoadN: 900 } }, {}, 1),
    words: "compressed-air ram",
    facts: ["Tank", "Bore", "Stroke", "Moving mass", "Airframe", "Push direction"],
  },
  "rocket-boost": {
    session: sessionOf(launcherOf({ slidingN: { value: 1, u: 0.2 } })),
    words: "rocket boost",
    facts: ["Motors", "Travel along the cradle", "Cradle"],
  },
  "elastic-line": {
    session: elasticSession({
      slidingN: { value: 4, u: 1 },
      freeLengthM: exactly(1.6),
      stretchLimit: 4,
      anchorRatedLoadN: 300,
      endStop: { bufferTravelM: exactly(0.1), ratedLoadN: 2500 },
    }),
    words: "elastic line",
    facts: [
      "Lines",
      "Carriage",
      "Pull direction",
      "Free length of a line",
      "Greatest stretch",
      "Anchor",
      "Carriage's stop",
    ],
  },
  "no-model": {
    session: oneOfEach({ ...freshSession("bench"), launcher: { kind: "no-model", name: "By hand" } }),
    words: "without a model",
    facts: [],
  },
};
const shot = (): Shot => calmShot({ gaugePressurePa: exactly(4e5) });
const each = LAUNCHER_KINDS.map((kind) => {
  const { session, ...expected } = SAMPLES[kind];
  const { id: _id, ...launcher } = firstOf(session).launcher as ListedLauncher;
  return {
    kind,
    session: { ...session, shots: [shot()] },
    launcher: launcher as Launcher,
    model: launcherModel(launcher as Launcher),
    ...expected,
  };
});
const modelled = each.filter(({ model }) => model.push !== null);

describe("launcherModel", () => {
  it("has a sample of every kind here that the schema takes", () => {
    for (const { kind, launcher } of each) {
      expect(launcher.kind).toBe(kind);
      expect(LauncherSchema.parse(launcher)).toEqual(launcher);
    }
  });

  it("tells kinds with a model from the one without", () => {
    expect(each.map(({ launcher }) => hasModel(launcher))).toEqual([true, true, true, false]);
    expect([hasModel(null), modelOf(null)]).toEqual([false, null]);
  });

  it.each(each)("offers the inputs of the table to $kind, and they are those its document holds", (one) => {
    const { kind, launcher, model } = one;
    expect(model.inputs).toEqual(INPUTS.filter(({ of }) => of === kind));
    const held = foundInputs({ launcher }, kind).map(({ input }) => input);
    for (const input of held) expect(model.inputs).toContain(input);
    expect(held.length > 0).toBe(model.push !== null);
  });

  it.each(each)("calls a $kind by its words and states its facts", ({ model, launcher, words, facts }) => {
    expect(model.words).toBe(words);
    const told = model.facts(launcher, "SI");
    expect(told.map(([name]) => name)).toEqual(facts);
    for (const [name, says] of told) expect(says).toMatch(name === "Airframe" ? /rests|latched/ : /\d/);
  });

  it.each(modelled)("predicts the push of a $kind as predictShot does", ({ session, launcher, model }) => {
    const { prediction } = model.push!.predict(launcher, launchInputs(session, shot()), null, "whole");
    const whole = predictShot(session, shot()).prediction!;
    expect(whole.quantities).toMatchObject(prediction!.quantities);
    expect(prediction!.quantities.releaseSpeed!.value).toBeGreaterThan(1);
    expect(model.directionRad(launcher)).toMatchObject({ value: whole.quantities.launchAngle!.value });
  });

  it.each(modelled)("tunes a $kind by inputs that have a name, its likely ones among them", (one) => {
    const { kind, session, launcher, model } = one;
    const { airframe } = firstOf(session);
    const weighed = { ...shot(), airframe, massKg: airframe.massKg! };
    const tunable = model.push!.tunable(launcher, weighed);
    if (!tunable.ok) throw new Error(tunable.fault.cause);
    const { inputs, predict } = tunable.model;
    const names = inputs.map(({ name }) => name);
    for (const name of names) expect(modelInputOrNull(kind, name)).not.toBeNull();
    for (const path of model.push!.likely) expect(names).toContain(path);
    const { releaseSpeed } = predictShot(session, shot()).prediction!.quantities;
    const curve = predict(inputs.map(({ value }) => value))!;
    expect(curve.exitSpeedMPerS).toBeCloseTo(releaseSpeed!.value, 5);
  });

  it.each(modelled)("moves the speed of a $kind by each of its settings", ({ session, launcher, model }) => {
    expect(model.settings.length).toBeGreaterThan(1);
    for (const { choose, range } of model.settings) {
      const found = range(launcher, launchInputs(session, shot()), []);
      if (!found.ok) throw new Error(choose);
      const { now, low, high, at } = found.value;
      expect(low, choose).toBeLessThan(now!);
      expect(high, choose).toBeGreaterThanOrEqual(now!);
      const speed = (x: number) => predictLaunch(at(x, 0)).prediction!.quantities.releaseSpeed!.value;
      expect(Math.abs(speed(now! * 0.9) / speed(now!) - 1), choose).toBeGreaterThan(0.005);
    }
  });

  it.each(modelled)(
    "says no speed can be set by the mass of a $kind's airframe while it is not known",
    (one) => {
      const { session, launcher, model } = one;
      const massless = oneOfEach({ ...session, airframe: { ...firstOf(session).airframe, massKg: null } });
      const mass = model.settings.find(({ choose }) => choose === "mass")!;
      expect(mass.range(launcher, launchInputs(massless, shot()), [])).toMatchObject({
        ok: false,
        notice: { code: "no-airframe-mass" },
      });
    },
  );

  it.each(modelled)(
    "has cautions of a $kind with and without its numbers",
    ({ session, launcher, model }) => {
      const { cautions } = model;
      const levels = new Set(["note", "warning", "danger"]);
      const all = [
        ...cautions.ofShot(launcher, launchInputs(session, shot())),
        ...cautions.ofKind("SI"),
        ...cautions.closing,
      ];
      for (const { level } of all) expect(levels).toContain(level);
      expect(cautions.ofShot(launcher, launchInputs(session, shot())).length).toBeGreaterThan(0);
      expect(cautions.ofKind("SI").length).toBeGreaterThan(0);
    },
  );

  it("holds limits of its own against a ram and an elastic line, null where one is not stated", () => {
    expect(each.map(({ model, launcher }) => model.limits(launcher))).toEqual([
      { rating: 10e5, "end-stop": 900, base: null },
      {},
      { stretch: 4, anchor: 300, "carriage-stop": 2500 },
      {},
    ]);
  });

  it("knows a tank with a ram alone, and a push after release with rockets alone", () => {
    expect(each.map(({ model }) => model.hasTank)).toEqual([true, false, false, false]);
    expect(each.map(({ model }) => model.pushesAfterRelease)).toEqual([false, true, false, false]);
  });

  it("says the energy stored for a ram's shot, predicted or worked out, and the tank's own cautions once more", () => {
    const { session, launcher, model } = each[0]!;
    const codes = (energyJ: { value: number; u: number } | null, at: Shot) =>
      model.cautions.ofStoredEnergy(launcher, at.conditions, energyJ, session.units).map(({ code }) => code);
    expect(codes(null, shot())).toEqual(["stored-pressure"]);
    expect(codes({ value: 0, u: 0 }, shot())).toEqual([]);
    expect(codes(null, calmShot())).toEqual([]);
    const unknown = { ...launcher, tankMaterial: "unknown", tankRatingPa: null } as Launcher;
    expect(model.cautions.standing(unknown, "SI").map(({ code }) => code)).toEqual([
      "tank-material-unknown",
      "tank-rating-unknown",
    ]);
  });

  it("loads a rocket with each kind of its motors in all mounts, the mass with them", () => {
    const other = { ...MOTOR, id: "right", name: "stronger", propellantKg: exactly(0.02) };
    const launcher = launcherOf({ motors: [MOTOR, other] });
    const { airframe } = firstOf(sessionOf(launcher));
    const loads = launcherModel(launcher).loads(launcher, airframe);
    expect(loads.map(({ name }) => name)).toEqual(["left", "stronger"]);
    const [weaker, stronger] = loads.map((load) => load.airframe.massKg!.value);
    expect(weaker).toBeCloseTo(0.6 - (0.02 - 0.0108), 12);
    expect(stronger).toBeCloseTo(0.6 + (0.02 - 0.0108), 12);
    const same = launcherOf({ motors: [MOTOR, { ...MOTOR, id: "right" }] });
    expect(launcherModel(same).loads(same, airframe)).toEqual([]);
  });
});
